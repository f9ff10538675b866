"""Request of /v1/batches/actuals."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import AbstractContextManager
from typing import Any

from kettlewright import limits
from kettlewright.actuals import STAGES, Correction, RecordOptions, ReportedBars, ReportedWeighing
from kettlewright.api.door.fields import Choice, Day, Mass, Number, Text, Whole
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.endpoints.batches import NO_FIGURE_DEPENDS_ON
from kettlewright.api.endpoints.batches.request import BatchesRequest
from kettlewright.api.endpoints.cure import WeighingInput
from kettlewright.api.parts.coop import current_coop
from kettlewright.api.parts.own_fats import fat_key_if_known
from kettlewright.identity import identity_of
from kettlewright.languages import LOCALES
from kettlewright.reference import DATA_VERSION
from kettlewright.release.days.drying_fit import WEIGHINGS_MAX
from kettlewright.units import to_base

__all__ = ["ActualsRequest"]

WEIGHED_MAX = 1_000
CORRECTIONS_MAX = 50


class WeighedRowInput(Strict):
    """A row of the weigh list as it was really weighed."""

    where = Text(required=True, about="As in the weigh list", example="pot")
    portion = Text(about="As in the weigh list, if that row has one", example="deep_red")
    kind = Text(about="As in the weigh list; needed only if two rows differ in nothing else, such as the two of a jar",
                example="fat")
    key = Text(required=True, about='As in the weigh list; from stage in_pot on also "lye" in "pot": the part of the '
               "lye that went in", example="olive")
    mass = Number(required=True, bounds=limits.WEIGHED, about="What the scale showed; later additions to the same row "
                  "are summed", unit="in the unit of that row of the weigh list", example=512)
    lot = Text(about="Lot that was used; it distinguishes rows with the same key", example="L-7")

    @staticmethod
    def builds(where: str, key: str, mass: float, **more: str) -> ReportedWeighing:
        """The weighing in both units it may be in: which one is given by its row."""
        return ReportedWeighing(where, key, to_base(mass, "mass"), to_base(mass, "dose"), **more)


class BarsCutInput(Strict):
    """Bars as they were cut."""

    builds = ReportedBars

    count = Whole(required=True, bounds=limits.BARS_MADE, about="Good ones", unit="bars", example=44)
    masses_g = ListOf(Mass(bounds=limits.MASS), at_most=limits.PIECES_MAX, about="Of all or some of them, fresh")


class CorrectionInput(Strict):
    """Something that was put right."""

    builds = Correction

    what = Text(required=True, about="What was done", example="Stirred in 22 g of coconut oil.")
    reason = Text(required=True, about="Why", example="The scale showed 161.1 g of NaOH, 9 g over.")


class RecordInput(Strict):
    """What only you know of the batch, for its record."""

    builds = RecordOptions

    made_on = Day(about="Day it was poured; the days of the record follow from it", example="2027-02-02")
    made_by = Text(about="Who made it", example="A. Example")
    checked_by = Text(about="Who checked the weighings", example="B. Example")
    corrections = ListOf(Part(CorrectionInput), at_most=CORRECTIONS_MAX, about="What was put right, and why")


class ActualsRequest(Strict):
    """A plan, and what was really weighed so far. The units and own fats of the plan govern all of it."""

    _plan = BatchesRequest()

    locale = Choice(LOCALES, about="Language of the texts in the response; numbers in JSON and problems do not change. "
                    "Default en, whatever the plan has")
    plan = Part(BatchesRequest, required=True, about="The body of /v1/batches, as it was sent")
    identity = Text(required=True, about="Of the plan, as in the response of /v1/batches", example="7KQ4D-X2M9F")
    data_version = Text(about="Of the plan, from its meta; used only to report that nothing but the data has changed",
                        example="2026.3")
    stage = Choice(STAGES, required=True, about="How far the batch has come. fats: they are in the pot, no lye is "
                   "made; lye_made; in_pot: fats, lye and the batch's additions; poured: buckets; cut")
    mix = Whole(bounds=limits.MIX, about="Which mix the rows are from; needed until stage in_pot if the pot takes "
                "several mixes", unit="number, from 1", example=2)
    weighed = ListOf(Part(WeighedRowInput), at_most=WEIGHED_MAX, about="Rows as you really weighed them, 0 if you "
                     "forgot one; rows you do not report count as planned")
    rescue_with = Text(convert=fat_key_if_known, about="Key or name of the fat to add if one is needed; the first of "
                       "the recipe if not given", example="olive")
    bars = Part(BarsCutInput, about="At stage cut")
    weighings = ListOf(Part(WeighingInput), at_least=1, at_most=WEIGHINGS_MAX, about="Of a bar in cure, at stage cut: "
                       "three or more give its drying curve")

    record = Part(RecordInput, about="What only you know of the batch: for the record (format=html)")

    def completed(self, body: Mapping[str, Any]) -> Mapping[str, Any]:
        """The body with its plan completed, unless the plan was made without the co-op's data (`body`).

        The identity says so: a certificate that came into the folder later must not change a batch in the making.
        """
        plan = body.get("plan")
        if current_coop.get() is None or not isinstance(plan, dict):
            return body
        without = identity_of(plan, DATA_VERSION, leave_out=NO_FIGURE_DEPENDS_ON)
        return body if body.get("identity") == without else {**body, "plan": self._plan.completed(plan, at="/plan")}

    def governing(self, body: Mapping[str, Any]) -> AbstractContextManager[None]:
        """Units and own fats of the plan, and the language of the body (`body`)."""
        plan = body.get("plan")
        return self._plan.governing({**(plan if isinstance(plan, dict) else {}), "locale": body.get("locale")})

    def build(self, data: dict[str, Any]) -> Any:
        """Leave out the language, which `governing` has read (`data`)."""
        return super().build({name: value for name, value in data.items() if name != "locale"})

