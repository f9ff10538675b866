"""Offcuts and shavings of a known batch, melted down again: their mass, water and superfat."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import OutOfRange, Unsolvable, gather, one_of
from kettlewright.plan.batch import Plan
from kettlewright.plan.portion_plan import counts_of
from kettlewright.plan.rebatch_superfat import SuperfatOfSoap, superfat_in_soap
from kettlewright.plan.rebatch_water import evaporated_so_far
from kettlewright.pour import Addition, BarMass, Portion
from kettlewright.pour.cured_mix import Mix, together

__all__ = ["MeltedSoap", "OffcutOptions", "Offcuts", "check_batches", "melt"]


@dataclass(frozen=True, slots=True)
class OffcutOptions:
    """Offcuts or shavings of one batch, as given.

    Parameters
    ----------
    mass_g : float
        They weigh now. [g]
    days : float, optional
        Since they were poured. [days]
    lost_pct : float, optional
        Loss so far, weighed; exactly one of the two is given. [% of the fresh mass]
    portion : str, optional
        Name or key of the portion they are from; the whole batch if not given. [text]

    Raises
    ------
    DomainErrors : not exactly one of days and lost_pct; a number out of range.
    """

    mass_g: float
    days: float | None = None
    lost_pct: float | None = None
    portion: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                limits.MASS.check(self.mass_g, "mass")
            with checks.at():
                if (self.days is None) == (self.lost_pct is None):
                    raise one_of(self.days)('Give exactly one of "days" (since the pour) and "lost_pct" (weighed): '
                                            "the water left in the offcuts follows from it.", field=("days",))
            limits.check_each(self, checks, days=limits.DRYING_DAY, lost_pct=limits.LOSS_PCT)


@dataclass(frozen=True, slots=True)
class Offcuts:
    """Offcuts and the batch they come from.

    Parameters
    ----------
    plan : Plan
        The batch, as planned or as weighed. [plan]
    given : OffcutOptions
        The offcuts. [g]
    """

    plan: Plan
    given: OffcutOptions

    @property
    def portion(self) -> str | None:
        """Key of the portion they are from; None for the whole batch. [key]"""
        wanted = self.given.portion
        if wanted is None:
            return None
        portions = self.plan.division.portions
        for one in portions:
            if wanted in (one.key, one.name):
                return one.key
        known = ", ".join(one.key for one in portions)
        raise OutOfRange(f'The batch has no portion "{wanted}"; it has {known}.', field=("portion",), value=wanted,
                         allowed=known)


@dataclass(frozen=True, slots=True)
class MeltedSoap:
    """Offcuts in the pot.

    Parameters
    ----------
    offcuts : Offcuts
        As given. [g]
    mass_g, fresh_mass_g : float
        Now, and when they were poured. [g]
    evaporated, water : BarMass
        Water they have lost, and water that is left. [g]
    superfat : SuperfatOfSoap
        Theirs. [% of full demand]
    mix : Mix
        What they were made of, fresh. [g]
    fats_g : float
        Fats that went into them. [g]
    """

    offcuts: Offcuts
    mass_g: float
    fresh_mass_g: float
    evaporated: BarMass
    water: BarMass
    superfat: SuperfatOfSoap
    mix: Mix
    fats_g: float


def check_batches(batches: Iterable[tuple[Sequence[Portion], Sequence[Addition]]]) -> None:
    """Refuse batches that take too long to plan together.

    Parameters
    ----------
    batches : iterable of (sequence of Portion, sequence of Addition)
        Portions and additions of each, as requested. [portions, additions]

    Raises
    ------
    DomainErrors : together they have more than one batch may have.
    """
    found = list(batches)
    portions = [portion for own, _ in found for portion in own]
    additions = [addition for _, own in found for addition in own]
    with gather() as checks:
        for count, most, what in ((len(portions), limits.PORTIONS_MAX, "portions"), *counts_of(portions, additions)):
            with checks.at("offcuts"):
                if count > most:
                    raise Unsolvable(f"The batches have {count:,} {what} in all; a rebatch takes at most {most}. Melt "
                                     "fewer batches at once.", value=count, allowed=f"at most {most}")


def melt(offcuts: Offcuts) -> MeltedSoap:
    """What offcuts are made of.

    Parameters
    ----------
    offcuts : Offcuts
        As given. [g]

    Returns
    -------
    MeltedSoap : [g]

    Raises
    ------
    OutOfRange, Unsolvable : a portion that the batch does not have, a loss larger than all the water.
    """
    plan, given, key = offcuts.plan, offcuts.given, offcuts.portion
    batch = together(mix for one in plan.division.portions if key in (None, one.key)
                     for mix in (one.in_mould, one.in_overflow))
    part = batch.water_g / batch.mass_g
    lost = evaporated_so_far(given.mass_g, fresh_water_part=part, lost_pct=given.lost_pct, days=given.days,
                             expected_loss_pct=plan.expected_loss_pct)
    left = BarMass(*(max((given.mass_g + one) * part - one, 0.0) for one in reversed(lost.ends)))
    fresh = given.mass_g + lost.mid_g
    factor = fresh / batch.mass_g
    return MeltedSoap(
        offcuts, given.mass_g, fresh, lost, left,
        superfat_in_soap(plan.lye, plan.division, plan.batter.mass_g, key, factor), batch.times(factor),
        plan.lye.fats_mass_g * batch.batter_g * factor / plan.batter.mass_g)
