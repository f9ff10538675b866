"""Table of the operations and the forms of their replies, for the client, the command and the stub."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from kettlewright_client import results
from kettlewright_client.generated import table

__all__ = ["MEDIA_TYPES", "OPERATIONS", "Operation"]

MEDIA_TYPES: Mapping[str, str] = MappingProxyType(table.MEDIA_TYPES)


@dataclass(frozen=True, slots=True)
class Operation:
    """An operation of the service.

    Parameters
    ----------
    method, path : str
        HTTP method, and path; a part in braces is filled in. [text]
    summary : str
        What it does. [text]
    gives : str
        Class of its result, in results.py. [word]
    forms : tuple of str
        Other forms of its reply, as in `format`. [words]
    address : tuple of str
        Its own parameters of path and query. [words]
    """

    method: str
    path: str
    summary: str
    gives: str
    forms: tuple[str, ...]
    address: tuple[str, ...]

    @property
    def result(self) -> type[Any]:
        """The class of its result."""
        found: type[Any] = getattr(results, self.gives)
        return found


OPERATIONS: Mapping[str, Operation] = MappingProxyType({name: Operation(*row) for name, row in table.ROWS.items()})
