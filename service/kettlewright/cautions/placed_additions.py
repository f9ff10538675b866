"""The additions of a division, each with its place in the request."""

from __future__ import annotations

from collections.abc import Iterator

from kettlewright.pour import Division, WeighedAddition, WeighedPortion

__all__ = ["placed_additions"]


def placed_additions(division: Division) -> Iterator[tuple[str, WeighedPortion | None, WeighedAddition]]:
    """Every addition with its JSON Pointer and its portion; none for the batch's own.

    Parameters
    ----------
    division : Division
        The buckets. [portions]

    Returns
    -------
    iterator of (str, WeighedPortion or None, WeighedAddition) : the batch's own first. [g]
    """
    for index, one in enumerate(division.additions):
        yield f"/additions/{index}", None, one
    for number, portion in enumerate(division.portions):
        for index, one in enumerate(portion.additions):
            yield f"/portions/{number}/additions/{index}", portion, one
