"""How much of each dispersion to make before the pour, and how much is left over."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.errors import Unsolvable
from kettlewright.pour.additions import Addition
from kettlewright.pour.carriers import Dispersion
from kettlewright.pour.division import Division
from kettlewright.pour.weighed_additions import WeighedAddition
from kettlewright.recipe.weighing import round_nearest, round_up
from kettlewright.said import Said

__all__ = ["MadeDispersion", "carrier_in_words", "check_dispersions", "dispersions_of"]

_CARRIERS = {"water": Said("water"), "glycerol": Said("glycerol")}


@dataclass(frozen=True, slots=True)
class MadeDispersion:
    """A jar of dispersion.

    Parameters
    ----------
    key, name : str
        Of the addition. [text]
    dispersion : Dispersion
        As requested. [% by mass]
    dry_weigh_g, carrier_weigh_g : float
        Masses to weigh into the jar. [g]
    used_g, left_g : float
        Mass that the doses use, as weighed, and mass left over. [g]
    lot : str, optional
        Of the dry addition. [text]
    """

    key: str
    name: str
    dispersion: Dispersion
    dry_weigh_g: float
    carrier_weigh_g: float
    used_g: float
    left_g: float
    lot: str | None

    @property
    def carrier(self) -> str:
        """The carrier. [key]"""
        return self.dispersion.carrier

    @property
    def carrier_key(self) -> str:
        """Key of the carrier as bought: an oil's own key if given. [key]"""
        return self.dispersion.fat or self.dispersion.own_key or self.dispersion.carrier

    @property
    def carrier_name(self) -> str:
        """Name of the carrier. [text]"""
        return carrier_in_words(self.dispersion)

    @property
    def made_g(self) -> float:
        """Mass in the jar. [g]"""
        return self.dry_weigh_g + self.carrier_weigh_g


def carrier_in_words(dispersion: Dispersion) -> str:
    """Name of the carrier of a dispersion; an oil's own name if given (`dispersion`).
    [text]
    """
    return dispersion.contains.oil_name if dispersion.carrier == "oil" else _CARRIERS[dispersion.carrier]


def check_dispersions(additions: Sequence[tuple[tuple[str | int, ...], Addition]]) -> None:
    """Reject two different dispersions with one name: they would be one jar.

    Parameters
    ----------
    additions : sequence of (place in the request, Addition)
        All of a batch. [additions]

    Raises
    ------
    Unsolvable : names the second place.
    """
    jars: dict[str, Dispersion | None] = {}
    for place, addition in additions:
        if jars.setdefault(addition.key, addition.dispersion) != addition.dispersion:
            raise Unsolvable(f'"{addition.name}" has a different dispersion here than before: give each jar its '
                             "own name.", field=(*place, "dispersion"))


def dispersions_of(division: Division, *, step_g: float) -> tuple[MadeDispersion, ...]:
    """The jars to make before the pour.

    Parameters
    ----------
    division : Division
        The doses. [g]
    step_g : float
        Step of the fine scale. [g]

    Returns
    -------
    tuple of MadeDispersion : enough for all doses of a name plus the spare; the dry part is rounded up to a step, the
    carrier follows.
        [g]
    """
    weighed = [*division.additions, *(one for portion in division.portions for one in portion.additions)]
    dispersed: dict[str, list[WeighedAddition]] = {}
    for one in weighed:
        if one.addition.dispersion is not None:
            dispersed.setdefault(one.key, []).append(one)
    found = []
    for key, doses in dispersed.items():
        dispersion = doses[0].addition.dispersion
        assert dispersion is not None
        used = math.fsum(one.weigh_g for one in doses)
        dry = round_up(used * (1 + dispersion.spare_pct / 100) * dispersion.strength_pct / 100, step_g)
        carrier = round_nearest(dry * (100 / dispersion.strength_pct - 1), step_g)
        found.append(MadeDispersion(key, doses[0].name, dispersion, dry, carrier, used, max(dry + carrier - used, 0.0),
                                    next((one.addition.lot for one in doses if one.addition.lot), None)))
    return tuple(found)
