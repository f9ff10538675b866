"""What offcuts bring into a rebatch that may harm: too much alkali, scents above their limits."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from kettlewright.cautions import LimitOfMixture, LyeHeavySoap
from kettlewright.cautions.placed_additions import placed_additions
from kettlewright.plan.melted_soap import MeltedSoap
from kettlewright.pour import Addition, Division
from kettlewright.recipe.outcome import MOLAR_MASS

__all__ = ["limits_of_mixture", "lye_heavy_soaps"]

_NOISE = 1e-9


def lye_heavy_soaps(soaps: Sequence[MeltedSoap]) -> list[LyeHeavySoap]:
    """Offcuts that are, or may be, lye-heavy.

    Parameters
    ----------
    soaps : sequence of MeltedSoap
        All offcuts. [g]

    Returns
    -------
    list of LyeHeavySoap : [% of full demand]

    Notes
    -----
    The fat to add brings them to the superfat requested for their batch: (alkali / (1 - superfat) - demand) / value of
    the first fat of their recipe.
    """
    found = []
    for index, one in enumerate(soaps):
        superfat, lye = one.superfat, one.offcuts.plan.lye
        if superfat.lye_heavy == "not_expected":
            continue
        alkali_mol = superfat.demand_mol * (1 - superfat.achieved_pct / 100)
        lacks_mol = alkali_mol / (1 - lye.superfat.asked_pct / 100) - superfat.demand_mol
        fat = lye.fats[0].fat
        found.append(LyeHeavySoap(
            index, superfat.lye_heavy == "yes", superfat.achieved_pct, superfat.likely_pct.min, superfat.likely_pct.max,
            fat.name, max(lacks_mol, 0.0) * 1000 * MOLAR_MASS["KOH"] / fat.saponification_value.mid))
    return found


def limits_of_mixture(soaps: Sequence[MeltedSoap], division: Division, of_pot: float) -> list[LimitOfMixture]:
    """Additions of the offcuts that are above their limit in the new bars, with what is stirred in once more.

    Parameters
    ----------
    soaps : sequence of MeltedSoap
        All offcuts. [g]
    division : Division
        What is poured. [g]
    of_pot : float
        Part of the melted soap that is poured. [1]

    Returns
    -------
    list of LimitOfMixture : [% of cured bar]

    Notes
    -----
    Additions of the same key are the same thing, and the lowest of their limits holds. All of a scent is assumed to
    stay. What only the rebatch itself stirs in is checked with its doses.
    """
    lowest: dict[str, LimitOfMixture] = {}
    for pointer, one in _limited(soaps, division):
        assert one.limit_pct is not None
        before = lowest.get(one.key)
        if before is None or one.limit_pct < before.limit_pct:
            lowest[one.key] = LimitOfMixture(one.name, one.limit_pct, 0.0, pointer if before is None
                                             else before.pointer)
    cured = division.whole.cured_g(division.loss_pct)
    found = []
    for key, limit in lowest.items():
        brought = math.fsum(one.mix.pure_g(key) for one in soaps) * of_pot
        part = 100 * (brought + division.whole.pure_g(key)) / cured
        if brought and part > limit.limit_pct * (1 + _NOISE):
            found.append(LimitOfMixture(limit.name, limit.limit_pct, part, limit.pointer))
    return found


def _limited(soaps: Sequence[MeltedSoap], division: Division) -> Iterator[tuple[str, Addition]]:
    """Every addition with a limit, and its place in the request."""
    melted = [(f"/offcuts/{index}/plan", one.offcuts.plan.division) for index, one in enumerate(soaps)]
    for at, poured in (*melted, ("", division)):
        for pointer, _, weighed in placed_additions(poured):
            if weighed.addition.limit_pct is not None and weighed.addition.in_batter:
                yield at + pointer, weighed.addition
