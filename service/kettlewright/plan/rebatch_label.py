"""The label of a rebatch: ingredients and allergens of the mixture."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kettlewright.plan.melted_soap import MeltedSoap
from kettlewright.plan.rebatch_water import LiquidToAdd
from kettlewright.pour import Cuts, Division
from kettlewright.release import Label, LabelOptions, label_of_contents, namer_of
from kettlewright.release.label.contents import Content, together
from kettlewright.release.label.melted_contents import content_of_liquid, content_of_soap, content_stirred_in

__all__ = ["label_of_mixture"]


def label_of_mixture(options: LabelOptions, soaps: Sequence[MeltedSoap], liquid: LiquidToAdd, melting_loss_g: float,
                     division: Division, *, cuts: Cuts | None, expected_loss_pct: float | None) -> Label:
    """The label of offcuts that were melted together.

    Parameters
    ----------
    options : LabelOptions
        The requested label. [label]
    soaps : sequence of MeltedSoap
        All offcuts. [g]
    liquid : LiquidToAdd
        What they are melted with. [g]
    melting_loss_g : float
        Evaporates while they melt. [g]
    division : Division
        What is stirred in, and what is poured. [g]
    cuts : Cuts, optional
        The cut. [mm]
    expected_loss_pct : float, optional
        Loss in cure. [% of a bar as cut]

    Returns
    -------
    Label : [% by mass]

    Raises
    ------
    Unsolvable : a net quantity that the bars cannot hold.

    Notes
    -----
    Water counts as it was added, to the batches and to the pot, since the law counts ingredients at that time; what has
    evaporated is no part of the bar's mass. As reacted, each soap has reacted in its own batch.
    """
    namer = namer_of(options)
    melted: list[Content] = []
    for index, one in enumerate(soaps):
        plan = one.offcuts.plan
        fresh = content_of_soap(plan.lye, plan.division, namer, as_reacted=options.naming == "as_reacted",
                                portion=one.offcuts.portion, at=f"/offcuts/{index}/plan")
        melted.append(fresh.times(one.fresh_mass_g / fresh.whole_g).dried(one.evaporated.mid_g))
    melted.append(content_of_liquid(None if liquid.is_water else str(liquid.name), liquid.weigh_g, liquid.water_g,
                                    namer, "/liquid"))
    whole = together([together(melted).dried(melting_loss_g), content_stirred_in(division.additions, namer)])
    poured = division.portions[0]
    in_mould = whole.times(poured.mould_mass_g / whole.whole_g)
    return label_of_contents(
        options, division, {poured.key: (in_mould, Content())}, arrangement="layers", cuts=cuts,
        expected_loss_pct=expected_loss_pct, soap_part_pct=_soap_part(soaps, division),
        made_of=(*(one.offcuts.plan.division for one in soaps), division))


def _soap_part(soaps: Sequence[MeltedSoap], division: Division) -> float:
    """Salts of fatty acids in what is not water. [% by mass]"""
    batches = [(one.offcuts.plan, one.mix.batter_g) for one in soaps]
    salts = math.fsum(plan.lye.soap.mass_g * batter_g / plan.batter.mass_g for plan, batter_g in batches)
    dry = math.fsum(one.mix.mass_g - one.mix.water_g for one in soaps)
    added = math.fsum(part.mass_g - part.water_g for part in division.whole.parts.values())
    poured = division.whole.mass_g - division.whole.water_g
    return 100 * salts * (poured - added) / dry / poured
