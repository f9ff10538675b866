"""How much of each dispersion to make before the pour, and what is left of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright.errors import Unsolvable
from kettlewright.pour.additions import Addition, Dispersion, WeighedAddition
from kettlewright.pour.division import Division
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
        As asked. [% by mass]
    dry_weigh_g, carrier_weigh_g : float
        To weigh into the jar. [g]
    used_g, left_g : float
        What the doses take of it, as weighed, and what is left. [g]
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
        """What it is stirred into. [key]"""
        return self.dispersion.carrier

    @property
    def carrier_key(self) -> str:
        """The same as it is bought: an oil by its key where that is told. [key]"""
        return self.dispersion.fat or self.dispersion.own_key or self.dispersion.carrier

    @property
    def carrier_name(self) -> str:
        """The same in words. [text]"""
        return carrier_in_words(self.dispersion)

    @property
    def made_g(self) -> float:
        """In the jar. [g]"""
        return self.dry_weigh_g + self.carrier_weigh_g


def carrier_in_words(dispersion: Dispersion) -> str:
    """What an addition is dispersed in, an oil by its name where that is told (`dispersion`).
    [text]
    """
    return dispersion.contains.oil_name if dispersion.carrier == "oil" else _CARRIERS[dispersion.carrier]


def check_dispersions(additions: Sequence[tuple[tuple[str | int, ...], Addition]]) -> None:
    """Refuse two dispersions of one name: they would be one jar.

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
            raise Unsolvable(f'"{addition.name}" stands here in another dispersion than before: give each jar a name '
                             "of its own.", field=(*place, "dispersion"))


def dispersions_of(division: Division, *, step_g: float) -> tuple[MadeDispersion, ...]:
    """Jars to make before the pour.

    Parameters
    ----------
    division : Division
        What the doses take. [g]
    step_g : float
        Step of the fine scale. [g]

    Returns
    -------
    tuple of MadeDispersion : what all doses of a name take and its spare; the dry part up to a step, the carrier to it.
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
