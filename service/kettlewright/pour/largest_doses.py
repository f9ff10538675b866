"""The largest doses that keep a batch within its limits, found by planning the batch again."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from kettlewright.copies import replace
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.pour.additions import Addition
from kettlewright.pour.bar_limits import LargestDose, LimitCheck, PortionMass, limited_doses
from kettlewright.pour.division import Division
from kettlewright.pour.requested_portions import Portion

__all__ = ["Replanned", "with_doses", "with_largest_doses"]

_DIGITS = 4
_ROUNDS_MAX = 25
_PARTS_MAX = 20_000  # additions in all buckets, times rounds; an ordinary batch has a few dozen
_ALONE_MAX = 2_000  # ingredients above their limits times additions in all buckets: up to this, each is tried alone
_CLOSE = 1e-7


@dataclass(frozen=True, slots=True)
class Replanned:
    """A batch with other doses.

    Parameters
    ----------
    division : Division
        Its buckets. [g]
    limits : tuple of LimitCheck
        Its ingredients checked against their limits. [% of cured bar]
    """

    division: Division
    limits: tuple[LimitCheck, ...]


Replan = Callable[[Mapping[tuple[str | None, str], float]], Replanned]
"""Plans the batch with other doses, by key of the portion (None: the batch's own) and key of the addition."""


def with_doses(portions: Sequence[Portion], additions: Sequence[Addition],
               doses: Mapping[tuple[str | None, str], float]) -> tuple[tuple[Portion, ...], tuple[Addition, ...]]:
    """The same portions and additions with other doses.

    Parameters
    ----------
    portions, additions : sequences
        As requested. [portions, additions]
    doses : mapping of (key of the portion or none, key of the addition) to float
        In the unit of each basis. [%, g/kg or g]

    Returns
    -------
    (tuple of Portion, tuple of Addition) : [portions, additions]
    """
    def changed(where: str | None, ones: Sequence[Addition]) -> tuple[Addition, ...]:
        return tuple(replace(one, dose=doses[where, one.key]) if (where, one.key) in doses else one for one in ones)

    return (tuple(replace(portion, additions=changed(portion.key, portion.additions)) for portion in portions),
            changed(None, additions))


def with_largest_doses(first: Replanned, replan: Replan, *,
                       fixed: frozenset[tuple[str | None, str]] = frozenset()) -> tuple[LimitCheck, ...]:
    """Find, for every limit that is exceeded, the largest doses that keep within it.

    Parameters
    ----------
    first : Replanned
        The batch as requested. [g]
    replan : callable
        Plans it again with other doses. [function of doses]
    fixed : set of (key of the portion or none, key of the addition)
        Doses that are already in the batter and cannot be changed. [keys]

    Returns
    -------
    tuple of LimitCheck : with the largest doses if a limit is exceeded; together they keep within it, and, except
        in a batch with very many additions, so do those of one ingredient alone. [%]

    Notes
    -----
    Other doses change everything else: the size of a batch that fills a mould, the layers, the alkali for the oil
    of a dispersion, the steps of the scale. So each trial is a whole batch, checked like a request.
    Doses are rounded down to four digits, which costs less than 0.1 %.
    """
    over = [check for check in first.limits if check.exceeded]
    if not over:
        return first.limits
    try:
        return _found(first, replan, {check.key: min(check.factor, 1.0) for check in over}, fixed)
    except (DomainError, DomainErrors):
        # no batch is possible with doses this low; a caution must not raise an error
        return first.limits


def _found(first: Replanned, replan: Replan, factors: dict[str, float],
           fixed: frozenset[tuple[str | None, str]]) -> tuple[LimitCheck, ...]:
    rounds = _rounds(first)
    for _ in range(rounds):
        now = replan(_doses(first, factors, fixed))
        moved = 0.0
        for check in now.limits:
            if check.key in factors and math.isfinite(check.factor):
                factor = min(factors[check.key] * check.factor, 1.0)
                moved = max(moved, abs(factor / factors[check.key] - 1))
                factors[check.key] = factor
        if moved <= _CLOSE:
            break
    for _ in range(rounds):
        doses = _doses(first, factors, fixed, digits=_DIGITS)
        now = replan(doses)
        above = [check for check in now.limits if check.key in factors and check.exceeded]
        above = above or _above_alone(first, replan, doses, factors)
        if not above:
            return _noted(first, now, doses)
        for check in above:  # a scale step or rounding exceeded the limit: use one digit less
            factors[check.key] *= min(check.factor, 1.0) * (1 - 10.0 ** -_DIGITS)
    return first.limits


def _above_alone(first: Replanned, replan: Replan, doses: Mapping[tuple[str | None, str], float],
                 factors: Mapping[str, float]) -> list[LimitCheck]:
    """Limits that are exceeded if only the doses of that one ingredient are changed."""
    # another addition that fills a bucket or mould leaves less batter, so the same dose is a larger share
    if len(factors) < 2 or len(factors) * _size(first) > _ALONE_MAX:
        return []
    found = []
    for key in factors:
        now = replan({place: dose for place, dose in doses.items() if place[1] == key})
        found += [check for check in now.limits if check.key == key and check.exceeded]
    return found


def _size(first: Replanned) -> int:
    """Additions in all buckets, including those in borrowed batter. [additions]"""
    return max(sum(len(portion.mix.parts) for portion in first.division.portions), 1)


def _rounds(first: Replanned) -> int:
    """How often the batch may be planned again: fewer times for a larger batch, to limit the work. [times]"""
    return min(max(_PARTS_MAX // _size(first), 3), _ROUNDS_MAX)


def _doses(first: Replanned, factors: Mapping[str, float], fixed: frozenset[tuple[str | None, str]], *,
           digits: int | None = None) -> dict[tuple[str | None, str], float]:
    found = {}
    for where, addition, _ in limited_doses(first.division):
        if addition.key in factors and (where, addition.key) not in fixed:
            dose = addition.dose * factors[addition.key]
            found[where, addition.key] = dose if digits is None else _down(dose, digits)
    return found


def _down(value: float, digits: int) -> float:
    """Round down to significant digits. [same unit]"""
    places = digits - 1 - math.floor(math.log10(value))
    step = 10.0 ** -places
    whole = math.floor(value / step * (1 + 1e-12))
    return whole / 10.0 ** places if places >= 0 else whole * step


def _noted(first: Replanned, now: Replanned, doses: Mapping[tuple[str | None, str], float]) -> tuple[LimitCheck, ...]:
    """The limits of a batch, with the doses that keep within those that are exceeded."""
    masses = {(where, addition.key): mass for where, addition, mass in limited_doses(now.division)}
    largest: dict[str, list[LargestDose]] = {}
    for where, addition, _ in limited_doses(first.division):
        place = where, addition.key
        if place in doses:
            largest.setdefault(addition.key, []).append(
                LargestDose(where, doses[place], addition.basis, masses[place]))
    by_mass = any(portion.portion.mass_g is not None for portion in first.division.portions)
    portions = tuple(PortionMass(portion.key, portion.name, portion.mass_g - portion.lent_mass_g)
                     for portion in now.division.portions) if by_mass else ()
    return tuple(replace(check, largest=tuple(largest.get(check.key, ())), masses=portions) if check.exceeded else check
                 for check in first.limits)
