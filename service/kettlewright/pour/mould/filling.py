"""Choice of the moulds at hand to fill for an order."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kettlewright import amounts, limits
from kettlewright.errors import OutOfRange, Unsolvable, check_distinct, gather
from kettlewright.knapsack import SUMS_MAX, Item, LeastCosts, least_costs
from kettlewright.names import slug
from kettlewright.pour.mould.moulds import Mould
from kettlewright.said import EnglishText

__all__ = ["FILLING_OBJECTIVES", "Filling", "MouldAtHand", "MouldUse", "best_filling"]

FILLING_OBJECTIVES = ("least_left_over", "fewest_pours")
_NOISE = 1e-12  # of binary arithmetic
_FINEST_ML = 0.001  # volumes that are multiples of this are added exactly, if the table is large enough
_EQUAL = 1e-4  # of the order: batter is never measured more closely, so fillings that differ by less are equally good
_TRIED_MAX = 256  # sums checked for one whose exact volume meets the order


@dataclass(frozen=True, slots=True)
class MouldAtHand:
    """A mould that is available.

    Parameters
    ----------
    name : str
        The maker's name for it. [text]
    mould : Mould
        Filled to its headspace each time. [mould]
    at_most : int
        How often it may be filled. [times]
    """

    name: str
    mould: Mould
    at_most: int = 1

    def __post_init__(self) -> None:
        limits.USES.check(self.at_most, "at_most")

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)


@dataclass(frozen=True, slots=True)
class MouldUse:
    """A mould that is filled.

    Parameters
    ----------
    key, name : str
        Its key and name. [text]
    times : int
        Number of fillings. [times]
    volume_ml : float
        Each time, to its headspace. [mL]
    """

    key: str
    name: str
    times: int
    volume_ml: float


@dataclass(frozen=True, slots=True)
class Filling:
    """The moulds for an order.

    Parameters
    ----------
    uses : tuple of MouldUse
        Moulds that are filled, in the order of the request. [times]
    volume_ml, left_over_ml : float
        Total of them, and its excess over the order. [mL]
    pours_count : int
        Total number of fillings. [times]
    proven_optimal : bool
        No better filling exists, if volumes that differ by less than 0.01 % of the order count as equal. [yes or
        no]
    """

    uses: tuple[MouldUse, ...]
    volume_ml: float
    left_over_ml: float
    pours_count: int
    proven_optimal: bool


def best_filling(at_hand: Sequence[MouldAtHand], volume_ml: float, objective: str = "least_left_over") -> Filling:
    """Choose the moulds to fill for an order.

    Parameters
    ----------
    at_hand : sequence of MouldAtHand, length n >= 1
        The moulds available. [moulds]
    volume_ml : float
        Smallest volume of batter to be moulded. [mL]
    objective : str
        "least_left_over" (then fewest pours) or "fewest_pours" (then least left over). [key]

    Returns
    -------
    Filling : [times, mL]

    Raises
    ------
    DomainError, Unsolvable : two moulds with one name, an unknown objective, an order larger than all moulds together.

    References
    ----------
    .. [1] Kellerer, Pferschy, Pisinger, Knapsack Problems, 2004, bounded knapsack by dynamic programming (from memory).
    """
    limits.VOLUME.check(volume_ml, "volume")
    if objective not in FILLING_OBJECTIVES:
        raise OutOfRange(f'"{objective}" is not a known objective; use one of {", ".join(FILLING_OBJECTIVES)}.',
                         field=("objective",), value=objective, allowed=", ".join(FILLING_OBJECTIVES))
    with gather() as checks, checks.at("moulds"):
        check_distinct([one.key for one in at_hand], "mould")
    volumes = np.array([one.mould.volume_ml for one in at_hand])
    most = np.array([float(one.at_most) for one in at_hand])
    if float(volumes @ most) < volume_ml * (1 - _NOISE):
        raise Unsolvable(EnglishText("All of these moulds together hold {hold}, but the order needs {volume}: "
                                     "{missing} is missing.",
                                     hold=amounts.volume(float(volumes @ most)), volume=amounts.volume(volume_ml),
                                     missing=amounts.volume(volume_ml - float(volumes @ most))),
                         field=("order",),
                         value=volume_ml, allowed=limits.up_to(amounts.volume(float(volumes @ most))))
    largest_first = _largest_first(volumes, most, volume_ml)
    table, step_ml, error = _table(volumes, most, volume_ml)
    found, proven = _best(table, volumes, volume_ml, step_ml=step_ml, error=error, otherwise=largest_first,
                          pours=sum(largest_first) if objective == "fewest_pours" else None)
    total = math.fsum(count * float(volume) for count, volume in zip(found, volumes, strict=True))
    return Filling(tuple(MouldUse(one.key, one.name, count, float(volume))
                         for one, count, volume in zip(at_hand, found, volumes, strict=True) if count),
                   total, max(total - volume_ml, 0.0), sum(found), proven)


def _largest_first(volumes: np.ndarray, most: np.ndarray, volume_ml: float) -> tuple[int, ...]:
    """The filling with the fewest pours: no other choice of equally many moulds holds more."""
    times, short = [0] * len(volumes), volume_ml * (1 - _NOISE)
    for place in sorted(range(len(volumes)), key=lambda one: -volumes[one]):
        if short <= 0:
            break
        times[place] = min(math.ceil(short / volumes[place]), int(most[place]))
        short -= times[place] * float(volumes[place])
    return tuple(times)


def _table(volumes: np.ndarray, most: np.ndarray, volume_ml: float) -> tuple[LeastCosts, float, float]:
    """The fewest pours for every sum of volumes, the step of those sums, and the largest relative error of a volume.

    The best filling never exceeds the order by a whole mould: that mould could be left out.
    """
    enough = volume_ml + float(volumes.max())
    fine = np.round(volumes / _FINEST_ML)
    step = _FINEST_ML * math.gcd(*(int(one) for one in fine))
    if not (np.abs(volumes - fine * _FINEST_ML) <= volumes * _NOISE).all() or enough / step > SUMS_MAX - 2:
        step = enough / (SUMS_MAX - 2)
    sizes = np.maximum(np.round(volumes / step), 1).astype(int)
    items = [Item(int(size), 1, int(count)) for size, count in zip(sizes, most, strict=True)]
    error = float((np.abs(volumes - sizes * step) / volumes).max())
    return (least_costs(items, min(math.ceil(enough / step) + 1, sum(one.size * one.most for one in items))), step,
            0.0 if error <= _NOISE else error)


def _best(table: LeastCosts, volumes: np.ndarray, volume_ml: float, *, step_ml: float, error: float,
          pours: int | None, otherwise: tuple[int, ...]) -> tuple[tuple[int, ...], bool]:
    """The filling with the least left over, for a given number of `pours` if any, and whether it is proven optimal."""
    best: tuple[float, int, tuple[int, ...]] = (float(np.dot(otherwise, volumes)), sum(otherwise), otherwise)
    # a sum of rounded volumes may be off by `error` either way; check the sums next to the order first
    lowest = max(math.ceil(volume_ml * (1 - error) / step_ml - _NOISE * len(table.costs)), 0)
    fits = table.reached[lowest:] if pours is None else table.costs[lowest:] == pours
    sums = lowest + np.flatnonzero(fits)
    if error and len(sums):
        near = int(sums[np.argmin(np.abs(sums * step_ml - volume_ml))])
        # fillings with similar sums mostly use the same moulds, so their errors are similar
        off = float(np.dot(table.pieces(near), volumes)) - near * step_ml
        sums = sums[np.argsort(np.abs(sums * step_ml + off - volume_ml), kind="stable")]
    tried_all = True
    for number, total in enumerate(sums):
        if total * step_ml * (1 - error) > best[0] * (1 + _NOISE):
            continue
        if number == _TRIED_MAX:
            tried_all = False
            break
        times = table.pieces(int(total))
        held = float(np.dot(times, volumes))
        if held >= volume_ml * (1 - _NOISE) and pours in (None, sum(times)):
            best = min(best, (held, sum(times), times))
            if not error:
                break
    room = _EQUAL * volume_ml
    return best[2], best[0] - volume_ml <= room or (tried_all and 2 * error * best[0] <= room)
