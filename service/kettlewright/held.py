"""What was read from files once, for this process and those that it forks, until it is told to read them again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

__all__ = ["Held"]

_T = TypeVar("_T")


class Held(Generic[_T]):
    """Values by the path that they were read from.

    Parameters
    ----------
    read : callable
        Reads the value at a path, or raises. [function]
    """

    def __init__(self, read: Callable[[str], _T]) -> None:
        self._read, self._values = read, dict[str, _T]()

    def at(self, path: str) -> _T:
        """The value of a path, read if it never was (`path`). [value]"""
        return self._values[path] if path in self._values else self.again(path)

    def again(self, path: str) -> _T:
        """The same, read anew; where reading raises, the value before is still held (`path`). [value]"""
        self._values[path] = self._read(path)
        return self._values[path]
