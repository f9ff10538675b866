"""Response of /v1/rebatches."""

from __future__ import annotations

from typing import ClassVar

from kettlewright.api.door.fields import Choice, Flag, Mass, Number, Text
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part
from kettlewright.api.endpoints.cuts import CutsOfBatch
from kettlewright.api.endpoints.portions.response import DosedAddition
from kettlewright.api.parts.dates import DatesWithNotes
from kettlewright.api.parts.envelope import BaseResponse
from kettlewright.api.parts.labels import LabelDraft
from kettlewright.api.parts.moulds import MouldSummary
from kettlewright.api.parts.ranges import MassRange, PctRange
from kettlewright.plan import LYE_HEAVY

__all__ = ["RebatchesResponse"]


class SuperfatOfSoap(ResponsePart):
    """Superfat of some soap."""

    achieved_pct = Number(signed=True, about="At the middle of every range", unit="%", example=5.02)
    likely_pct = Part(PctRange, about="Range of about 95 of 100 batches")
    worst_case_pct = Part(PctRange, about="If all errors go in the same direction")
    lye_heavy = Choice(LYE_HEAVY, about="yes: below 0; possible: the likely range reaches 0. Of a mixture: the worst "
                       "in it")


class MeltedOffcuts(ResponsePart):
    """Offcuts in the pot."""

    identity = Text(about="Identity of the plan of their batch", example="7KQ4D-X2M9F")
    mass_g = Mass(about="Now", example=420)
    fresh_mass_g = Mass(about="When they were poured", example=446.8)
    water = Part(MassRange, about="Water left in them")
    superfat = Part(SuperfatOfSoap, about="Of these offcuts")


class MeltingLiquid(ResponsePart):
    """What they are melted with."""

    name = Text(about="As given", example="water")
    weigh_g = Mass(about="On the scale", example=63)
    assumed = Flag(about="Whether no amount was given, so that the middle of `usual` is used", example=True)
    usual = Part(MassRange, about="For 20, 25 or 30 % of water in the pot (common practice, no source)")


class RebatchesResponse(BaseResponse):
    """Offcuts melted down to a batch, with cautions and sources."""

    omitted: ClassVar[tuple[str, ...]] = ("cuts", "dates", "labels")

    offcuts = ListOf(Part(MeltedOffcuts), about="In the order of the request")
    liquid = Part(MeltingLiquid, about="To add")
    pot_mass_g = Mass(about="Offcuts and liquid", example=483)
    melting_loss = Part(MassRange, about="Evaporates while they melt; everything after it uses mid")
    additions = ListOf(Part(DosedAddition), about="To stir in")
    too_much_mass_g = Mass(about="Soap that does not fit into the mould", example=0)
    room_mass_g = Mass(about="Soap that would still fit", example=120)
    mould = Part(MouldSummary, about="The mould, and how far it is filled")
    cuts = Part(CutsOfBatch, about="If requested")
    cure_loss = Part(MassRange, about="Evaporates in cure")
    cured_mass = Part(MassRange, about="Of the soap in the mould, after cure")
    superfat = Part(SuperfatOfSoap, about="Of the mixture: the mean by the alkali that the fats take")
    labels = ListOf(Part(LabelDraft), about="With names as added and with names as reacted; left out if the mixture is "
                    "lye-heavy")
    dates = Part(DatesWithNotes, about="If requested")
    notes = ListOf(Text(example="Keep a second mould ready."), about="Remarks")
