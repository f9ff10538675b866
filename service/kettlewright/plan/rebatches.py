"""Offcuts and shavings of known batches, melted down to a batch of their own."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import amounts
from kettlewright import cautions as caution_texts
from kettlewright.cautions import Caution
from kettlewright.copies import replace
from kettlewright.errors import gather
from kettlewright.plan.batch_cut import CutOptions, check_is_cut, cut_of, filled
from kettlewright.plan.melted_soap import MeltedSoap, Offcuts, melt
from kettlewright.plan.portion_plan import PortionPlan, plan_portions
from kettlewright.plan.rebatch_doubts import limits_of_mixture, lye_heavy_soaps
from kettlewright.plan.rebatch_label import label_of_mixture
from kettlewright.plan.rebatch_superfat import SuperfatOfSoap, mean_superfat
from kettlewright.plan.rebatch_water import (
    WATER_IN_POT_PCT,
    LiquidToAdd,
    MeltingLiquid,
    evaporates_in_cure,
    evaporates_in_melting,
    liquid_to_add,
)
from kettlewright.pour import Addition, BarMass, Batter, Cuts, Fill, Mould, Residue, whole_batch
from kettlewright.pour.buckets import pour_exactly
from kettlewright.pour.free_fat import oil_demand_mol
from kettlewright.recipe import Scale
from kettlewright.release import Label, LabelOptions
from kettlewright.said import Said

__all__ = ["RebatchPlan", "plan_rebatch"]

_WATER_DENSITY = 1.0  # near enough to 0.99 at 40 degC for a mass that holds air anyway


@dataclass(frozen=True, slots=True)
class RebatchPlan:
    """Offcuts melted down to a batch.

    Parameters
    ----------
    soaps : tuple of MeltedSoap
        In the order of the request. [g]
    liquid : LiquidToAdd
        What they are melted with. [g]
    pot_mass_g : float
        Offcuts and liquid. [g]
    melting_loss : BarMass
        Evaporates while they melt; the middle of it is used from there on. [g]
    poured : PortionPlan
        What is stirred in, and what reaches the mould. [g]
    fill : Fill
        Contents of the mould. [mm, mL, g]
    cuts : Cuts, optional
        The cut, if requested. [mm]
    too_much_mass_g, room_mass_g : float
        Mass that the mould does not hold; mass that it still holds. [g]
    cure_loss, cured_mass : BarMass
        Evaporates in cure; what is in the mould weighs then. [g]
    superfat : SuperfatOfSoap
        Of the mixture. [% of full demand]
    labels : tuple of Label
        With names as added and as reacted; empty if it must not be sold. [label]
    notes : tuple of Said
        What to know. [text]
    cautions : tuple of Caution
        What it brings on. [cautions]
    """

    soaps: tuple[MeltedSoap, ...]
    liquid: LiquidToAdd
    pot_mass_g: float
    melting_loss: BarMass
    poured: PortionPlan
    fill: Fill
    cuts: Cuts | None
    too_much_mass_g: float
    room_mass_g: float
    cure_loss: BarMass
    cured_mass: BarMass
    superfat: SuperfatOfSoap
    labels: tuple[Label, ...]
    notes: tuple[Said, ...]
    cautions: tuple[Caution, ...]


def plan_rebatch(offcuts: Sequence[Offcuts], mould: Mould, scale: Scale, *, label: LabelOptions,
                 liquid: MeltingLiquid | None = None, additions: Sequence[Addition] = (), residue_g: float = 0.0,
                 cut: CutOptions | None = None, melting_loss_pct: float | None = None,
                 expected_loss_pct: float | None = None) -> RebatchPlan:
    """Melt offcuts of known batches down to a batch.

    Parameters
    ----------
    offcuts : sequence of Offcuts, length n >= 1
        What is melted down. [g]
    mould : Mould
        Where it goes. [mould]
    scale : Scale
        Steps of the scales. [g]
    label : LabelOptions
        The requested label. [label]
    liquid : MeltingLiquid, optional
        What it is melted with; by default as much water as is usual. [g or %]
    additions : sequence of Addition
        Stirred in once it is melted. [additions]
    residue_g : float
        Sticks to the pot. [g]
    cut : CutOptions, optional
        How the block is cut. [mm]
    melting_loss_pct, expected_loss_pct : float, optional
        Loss in melting and in cure, as the maker expects them. [% of the pot, % of a bar as cut]

    Returns
    -------
    RebatchPlan : offcuts + liquid - melting loss + additions = mould + residue + too much. [g]

    Raises
    ------
    DomainErrors, DomainError : a portion the batch does not have, a loss larger than the water, more residue than soap.
    """
    liquid = liquid or MeltingLiquid()
    soaps = []
    with gather() as checks:
        for index, one in enumerate(offcuts):
            with checks.at("offcuts", index):
                soaps.append(melt(one))
        with checks.at("cut"):
            if cut is not None:
                check_is_cut(mould, "layers")
    water = _sum([one.water for one in soaps])
    dry_g = math.fsum(one.mass_g for one in soaps)
    added = liquid_to_add(liquid, offcuts_g=dry_g, water=water, step_g=scale.readability_g)
    pot_g, water_g = dry_g + added.weigh_g, water.mid_g + added.water_g
    melting = evaporates_in_melting(pot_g, water_g, melting_loss_pct)
    volume = math.fsum([*(one.fresh_mass_g / one.offcuts.plan.batter.density - one.evaporated.mid_g / _WATER_DENSITY
                          for one in soaps), (added.weigh_g - melting.mid_g) / _WATER_DENSITY])
    melted_g = pot_g - melting.mid_g
    batter = Batter(melted_g, melted_g / volume, min(math.fsum(one.fats_g for one in soaps), melted_g),
                    water_g - melting.mid_g)
    stays_g, too_much = _not_poured(batter, additions, mould, residue_g)
    poured = plan_portions(batter, whole_batch(), scale, additions=additions, mould=mould, residue=Residue(stays_g),
                           expected_loss_pct=expected_loss_pct)
    division = poured.division
    cuts = None
    with gather() as checks, checks.at("cut"):
        cuts = None if cut is None else cut_of(cut, mould, division, expected_loss_pct)
    whole = division.whole
    doubt = [end - water.mid_g for end in water.ends]
    of_pot = whole.batter_g / melted_g
    cure = evaporates_in_cure(whole.mass_g, BarMass(*(max(whole.water_g + one * of_pot, 0.0) for one in doubt)),
                              expected_loss_pct)
    superfat = mean_superfat([one.superfat for one in soaps], math.fsum(oil_demand_mol(one)
                                                                        for one in division.additions))
    heavy = superfat.lye_heavy == "yes"
    room_ml = 0.0 if too_much else mould.volume_ml - division.mould_volume_ml
    doubts = caution_texts.of_rebatch(
        lye_heavy_soaps(soaps), limits_of_mixture(soaps, division, of_pot), additions,
        [index for index, one in enumerate(soaps) if one.offcuts.given.lost_pct is None])
    found = RebatchPlan(
        soaps=tuple(soaps), liquid=added, pot_mass_g=pot_g, melting_loss=melting, poured=poured,
        fill=filled(mould, division, "layers"), cuts=cuts, too_much_mass_g=too_much,
        room_mass_g=room_ml * whole.mass_g / division.mould_volume_ml, cure_loss=cure,
        cured_mass=BarMass(*(whole.mass_g - loss for loss in reversed(cure.ends))),
        superfat=superfat, labels=(), notes=_notes(
            heavy=heavy, too_much_g=too_much if too_much > scale.readability_g else 0.0, assumed=added.assumed),
        cautions=(*doubts, *poured.cautions))
    if heavy:
        return found
    with gather() as checks, checks.at("label"):
        both = (label, replace(label, naming="as_reacted" if label.naming == "as_added" else "as_added"))
        return replace(found, labels=tuple(label_of_mixture(
            one, soaps, added, melting.mid_g, division, cuts=cuts, expected_loss_pct=expected_loss_pct)
            for one in both))
    raise AssertionError("unreachable: gather raises")


def _sum(masses: Sequence[BarMass]) -> BarMass:
    return BarMass(*map(math.fsum, zip(*(one.ends for one in masses), strict=True)))


def _not_poured(batter: Batter, additions: Sequence[Addition], mould: Mould, residue_g: float) -> tuple[float, float]:
    """What stays in the pot: all of it, and the part that the mould does not hold. [g]"""
    exact = pour_exactly(batter, whole_batch(), additions, residue=Residue(residue_g), mould=None)
    too_much = (exact.pot_g - residue_g) * max(1 - mould.volume_ml / exact.mould_ml, 0.0)
    return residue_g + too_much, too_much


def _notes(*, heavy: bool, too_much_g: float, assumed: bool) -> tuple[Said, ...]:
    found = [Said("Press the soap into the mould: with air pockets it takes more room than computed here. Keep a "
                  "second mould ready.")]
    if assumed:
        found.append(Said("No amount of liquid is given, so the figures use enough to bring the pot to {part:.9g} % "
                          "of water (common practice, no source). Add it in parts, and stop when the soap is soft.",
                          part=WATER_IN_POT_PCT[1]))
    if too_much_g:
        found.append(Said("{mass} will not fit into the mould: melt less, or fill a second one.",
                          mass=amounts.mass(too_much_g, places=0)))
    if heavy:
        found.append(Said("No label: lye-heavy soap must not be sold."))
    return tuple(found)
