"""Thin client of the Kettlewright formulation service."""

__version__ = "0.1.0"
