"""Exceptions of the shelf."""

from __future__ import annotations

__all__ = ["Locked", "ShelfError"]


class ShelfError(Exception):
    """The shelf cannot do that; the message says why and what to do. Nothing was changed."""


class Locked(ShelfError):
    """Another process writes to the shelf and did not finish in time."""
