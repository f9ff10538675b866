"""The order of stirring, if something thickens the batter fast: it differs from the order of the pour."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright.pour.buckets import lenders_first
from kettlewright.pour.division import Division
from kettlewright.said import Said

__all__ = ["MixingStep", "bucket_order", "mixing_order"]


@dataclass(frozen=True, slots=True)
class MixingStep:
    """One step of stirring.

    Parameters
    ----------
    portion : str, optional
        Key of the bucket; None for the pot. [key]
    name : str
        Name of bucket or pot. [text]
    additions : tuple of str
        Names of the additions that go in now. [text]
    borrows : tuple of str
        Names of the portions whose batter goes in now. [text]
    when : str
        "ahead", or "at_pour": right before this bucket is poured, not earlier. [key]
    """

    portion: str | None
    name: str
    additions: tuple[str, ...]
    borrows: tuple[str, ...]
    when: str


def mixing_order(division: Division) -> tuple[MixingStep, ...]:
    """The order of stirring.

    Parameters
    ----------
    division : Division
        The buckets, in pour order. [g]

    Returns
    -------
    tuple of MixingStep : empty if nothing thickens fast and nothing is borrowed. The pot first; then each bucket
        ahead, lenders before those that borrow; what thickens fast last, bucket by bucket as they are poured. Common
        practice, no source.
    """
    stirred = [one for portion in division.portions for one in portion.additions] + list(division.additions)
    if not any(one.addition.thickens_fast for one in stirred) \
            and not any(portion.borrowed for portion in division.portions):
        return ()
    pot_slow, pot_fast = _names(division, fast=False), _names(division, fast=True)
    steps = [MixingStep(None, Said("pot"), pot_slow, (), "ahead")] if pot_slow else []
    # an addition in the pot is in every bucket, so the time runs from the moment it goes in
    steps += [MixingStep(None, Said("pot"), pot_fast, (), "at_pour")] if pot_fast else []
    when = "at_pour" if pot_fast else "ahead"
    for index in lenders_first([portion.portion for portion in division.portions]):
        portion = division.portions[index]
        slow = tuple(one.name for one in portion.additions if one.addition.in_batter
                     and not one.addition.thickens_fast)
        borrowed = tuple(one.name for one in portion.borrowed)
        if slow or borrowed:
            steps.append(MixingStep(portion.key, portion.name, slow, borrowed, when))
    for portion in division.portions:
        fast = tuple(one.name for one in portion.additions if one.addition.in_batter and one.addition.thickens_fast)
        if fast:
            steps.append(MixingStep(portion.key, portion.name, fast, (), "at_pour"))
    return tuple(steps)


def bucket_order(division: Division) -> tuple[str, ...]:
    """Order in which the buckets are filled and stirred: that of the pour, but lenders before those that borrow.

    Parameters
    ----------
    division : Division
        The buckets, in pour order. [g]

    Returns
    -------
    tuple of str : keys of the portions; what thickens fast is stirred in later, at the pour. [keys]
    """
    return tuple(division.portions[index].key for index in lenders_first([one.portion for one in division.portions]))


def _names(division: Division, *, fast: bool) -> tuple[str, ...]:
    return tuple(one.name for one in division.additions
                 if one.addition.in_batter and one.addition.thickens_fast == fast)
