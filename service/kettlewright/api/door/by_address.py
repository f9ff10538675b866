"""Calculations by an address alone: what makes the body of a POST from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from kettlewright.api.door.address import Pairs

__all__ = ["BodyFromLink", "Path", "Reader"]

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class BodyFromLink:
    """The body that an address describes.

    Parameters
    ----------
    body : dict
        The body of the POST. [as in JSON]
    places : mapping
        Where in the address each part of the body is given. [paths]
    """

    body: dict[str, Any]
    places: Mapping[Path, Path]

    def place(self, path: Path) -> Path:
        """Location in the address of a path of the body (`path`). [path]"""
        for length in range(len(path), 0, -1):
            if path[:length] in self.places:
                return (*self.places[path[:length]], *path[length:])
        return path


class Reader(Protocol):
    """Makes a body of an address."""

    def read(self, pairs: Pairs, *, limit_bytes: int) -> BodyFromLink:
        """The body (`pairs`: keys and values; `limit_bytes`: the largest body accepted [bytes])."""

    def parameters(self) -> list[dict[str, Any]]:
        """The keys, as the contract lists them."""
