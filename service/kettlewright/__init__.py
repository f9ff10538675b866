"""Kettlewright: the formulation maths of a small cold-process soap workshop, as a stateless HTTP service."""

__version__ = "0.2.0"
