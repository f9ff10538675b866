"""Which of the moulds at hand to fill for an order, by integer program."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from kettlewright import amounts, limits
from kettlewright.errors import DomainError, Unsolvable, gather
from kettlewright.names import slug
from kettlewright.pour.buckets import check_distinct
from kettlewright.pour.moulds import Mould
from kettlewright.said import EnglishText

__all__ = ["FILLING_OBJECTIVES", "Filling", "MouldAtHand", "MouldUse", "best_filling"]

FILLING_OBJECTIVES = ("least_left_over", "fewest_pours")
_NODES_MAX = 20_000  # bounded by nodes and never by seconds, so that the same body gives the same bytes
_CLOSE = 1e-6


@dataclass(frozen=True, slots=True)
class MouldAtHand:
    """A mould that may be filled.

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
        Which. [text]
    times : int
        How often. [times]
    volume_ml : float
        Each time, to its headspace. [mL]
    """

    key: str
    name: str
    times: int
    volume_ml: float


@dataclass(frozen=True, slots=True)
class Filling:
    """How an order is met.

    Parameters
    ----------
    uses : tuple of MouldUse
        Moulds that are filled, in the order asked. [times]
    volume_ml, left_over_ml : float
        Of all of them, and what that is above the order. [mL]
    pours_count : int
        How many moulds are filled in all. [times]
    proven_optimal : bool
        No better filling exists; else none was found within the limit of nodes. [yes or no]
    """

    uses: tuple[MouldUse, ...]
    volume_ml: float
    left_over_ml: float
    pours_count: int
    proven_optimal: bool


def best_filling(at_hand: Sequence[MouldAtHand], volume_ml: float, objective: str = "least_left_over") -> Filling:
    """The moulds to fill so that an order is met.

    Parameters
    ----------
    at_hand : sequence of MouldAtHand, length n >= 1
        What there is. [moulds]
    volume_ml : float
        At least so much batter is to be moulded. [mL]
    objective : str
        "least_left_over" (then fewest pours) or "fewest_pours" (then least left over). [key]

    Returns
    -------
    Filling : [times, mL]

    Raises
    ------
    DomainError, Unsolvable : two moulds of one name, an objective that is none, an order that all of them do not hold.

    References
    ----------
    .. [1] Integer program, HiGHS by scipy.optimize.milp.
    """
    limits.VOLUME.check(volume_ml, "volume")
    if objective not in FILLING_OBJECTIVES:
        raise DomainError(f'"{objective}" is no objective known here; it is one of {", ".join(FILLING_OBJECTIVES)}.',
                          field=("objective",), value=objective, allowed=", ".join(FILLING_OBJECTIVES))
    with gather() as checks, checks.at("moulds"):
        check_distinct([one.key for one in at_hand], "mould")
    volumes = np.array([one.mould.volume_ml for one in at_hand])
    most = np.array([float(one.at_most) for one in at_hand])
    if float(volumes @ most) < volume_ml * (1 - 1e-12):
        raise Unsolvable(EnglishText("All of these moulds together hold {hold}, and the order needs {volume}: "
                                     "{missing} are missing.",
                                     hold=amounts.volume(float(volumes @ most)), volume=amounts.volume(volume_ml),
                                     missing=amounts.volume(volume_ml - float(volumes @ most))),
                         field=("order",),
                         value=volume_ml, allowed=limits.up_to(amounts.volume(float(volumes @ most))))
    ones = np.ones(len(at_hand))
    first, second = (volumes, ones) if objective == "least_left_over" else (ones, volumes)
    enough = LinearConstraint(volumes, lb=volume_ml * (1 - 1e-12), ub=np.inf)
    best, proven = _solve(first, most, [enough])
    # of all that are as good, the best by the other measure
    room = _CLOSE * max(float(first @ best), 1.0)
    tie, proven_tie = _solve(second, most, [enough, LinearConstraint(first, lb=-np.inf, ub=float(first @ best) + room)],
                             fallback=best)
    times = [round(float(count)) for count in tie]
    total = math.fsum(count * float(volume) for count, volume in zip(times, volumes, strict=True))
    return Filling(tuple(MouldUse(one.key, one.name, count, float(volume))
                         for one, count, volume in zip(at_hand, times, volumes, strict=True) if count),
                   total, max(total - volume_ml, 0.0), sum(times), proven and proven_tie)


def _solve(cost: np.ndarray, most: np.ndarray, constraints: list[LinearConstraint], *,
           fallback: np.ndarray | None = None) -> tuple[np.ndarray, bool]:
    found = milp(cost, integrality=np.ones(len(cost), dtype=np.int64), bounds=Bounds(np.zeros(len(cost)), most),
                 constraints=constraints, options={"node_limit": _NODES_MAX, "mip_rel_gap": 0.0})
    if found.x is None:
        if fallback is not None:
            return fallback, False
        return most, False  # filling everything meets the order; nothing better was found within the nodes
    return np.round(found.x), bool(found.status == 0)
