"""A caution that a request triggers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from kettlewright.cautions.catalogue import CATALOGUE, SEVERITIES
from kettlewright.said import Said

__all__ = ["Caution", "triggered", "without_repeats", "worst_severity"]


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution that a request triggers.

    Parameters
    ----------
    key, severity, pointer : str
        Key in the catalogue; "info", "warning" or "danger"; JSON Pointer to the part of the request. [text]
    message : Said
        What may happen and what to do about it. [text]
    """

    key: str
    severity: str
    message: Said
    pointer: str = ""

    @property
    def place(self) -> str:
        """Where you are when it matters, as in the catalogue. [key]"""
        return CATALOGUE[self.key].place


def triggered(key: str, message: Said, pointer: str = "", severity: str | None = None) -> Caution:
    """A caution of the catalogue; an empty `message` and no `severity` take the catalogue's own.

    Parameters
    ----------
    key, message, pointer, severity : str
        As in `Caution`. [text]

    Returns
    -------
    Caution
    """
    entry = CATALOGUE[key]
    return Caution(key, severity or entry.severity, message or entry.text, pointer)


def worst_severity(cautions: Iterable[Caution]) -> str:
    """The most severe of them, "none" where there are none (`cautions`). [key]"""
    return max((caution.severity for caution in cautions), key=SEVERITIES.index, default="none")


def without_repeats(found: Sequence[Caution]) -> Iterator[Caution]:
    """The first of each caution with the same key and message: five buckets of one pigment give one caution.

    Parameters
    ----------
    found : sequence of Caution
        In the order you do the steps. [cautions]

    Returns
    -------
    iterator of Caution : [cautions]
    """
    seen: set[tuple[str, str]] = set()
    for caution in found:
        if (caution.key, caution.message) not in seen:
            seen.add((caution.key, caution.message))
            yield caution
