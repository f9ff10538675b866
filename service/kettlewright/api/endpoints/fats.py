"""GET /v1/fats and GET /v1/fats/{key}."""

from __future__ import annotations

from typing import Any

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Flag, Number, QueryNumber, Text
from kettlewright.api.door.operations import operation
from kettlewright.api.door.problems import Problem
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.parts.coop import current_coop
from kettlewright.api.parts.envelope import Meta, answer
from kettlewright.api.parts.recipe_of_reply import SaponificationRangeOfRecipe
from kettlewright.errors import UnknownIngredient
from kettlewright.recipe.certificates import fatty_acid
from kettlewright.reference import (
    DISAGREE_PCT,
    PROVENANCES,
    FatFilter,
    FatRecord,
    density_at_40,
    fat,
    find_fats,
    saponification_value_by_acids,
)
from kettlewright.reference.fat_records import KINDS

__all__ = ["FatResponse", "FatsQuery", "FatsResponse", "fat_by_key", "fats"]


class FatsQuery(Strict):
    """Which fats to list. Figures are compared by the middle of their ranges."""

    def build(self, data: dict[str, Any]) -> Any:
        """The filter, as the view gets it (`data`)."""
        return {"wanted": super().build(data)}

    search = Text(about="Part of the key, a name, the origin or the label name", example="olive")
    kind = Choice(KINDS, about="Kind of fat")
    saponification_value_min = QueryNumber(bounds=limits.PROPERTY, about="Middle of its saponification value at least",
                                           unit="mg KOH per g of fat", example=180)
    saponification_value_max = QueryNumber(bounds=limits.PROPERTY, about="And at most", unit="mg KOH per g of fat",
                                           example=200)
    iodine_value_min = QueryNumber(bounds=limits.PROPERTY, about="Middle of its iodine value at least",
                                   unit="g iodine per 100 g", example=50)
    iodine_value_max = QueryNumber(bounds=limits.PROPERTY, about="And at most", unit="g iodine per 100 g", example=90)
    fatty_acid = Text(check=fatty_acid, about="Notation of a fatty acid in it", example="C18:1")
    fatty_acid_min_pct = QueryNumber(bounds=limits.PART_PCT, about="Middle of that fatty acid at least",
                                     unit="% of fatty acids", example=60)
    fatty_acid_max_pct = QueryNumber(bounds=limits.PART_PCT, about="And at most", unit="% of fatty acids", example=80)

    builds = FatFilter


class SaponificationFigure(ResponsePart):
    """Saponification value, and how it is known."""

    min = Number(about="Lower end", unit="mg KOH per g of fat", example=184)
    max = Number(about="Upper end", unit="mg KOH per g of fat", example=196)
    provenance = Choice(PROVENANCES, attribute="verified", about="How it is known")


class OpenFigure(ResponsePart):
    """A range, of which one end may not be known, and how it is known."""

    min = Number(allow_none=True, about="Lower end", unit="as the name says", example=75)
    max = Number(allow_none=True, about="Upper end", unit="as the name says", example=94)
    provenance = Choice(PROVENANCES, attribute="verified", about="How it is known")
    source = Text(about="If it differs from the fat's own source", example="")


class ConditionFigure(ResponsePart):
    """A range at a stated temperature, and how it is known."""

    min = Number(about="Lower end", unit="1", example=0.910)
    max = Number(about="Upper end", unit="1", example=0.916)
    provenance = Choice(PROVENANCES, attribute="verified", about="How it is known")
    condition = Text(about="At what temperature", example="20 degC / water 20 degC")


class UnsaponifiableFigure(ResponsePart):
    """Upper limit of what does not turn to soap."""

    max = Number(about="Upper limit", unit="g/kg", example=15)
    provenance = Choice(PROVENANCES, attribute="verified", about="How it is known")


class FatDensity(ResponsePart):
    """Density computed with."""

    value_g_per_ml = Number(data_key="value", about="At 40 degC", unit="g/mL", example=0.899)
    assumed = Flag(about="Whether it was assumed", example=False)
    from_memory = Flag(about="Whether the table has it from memory", example=False)


class LabelNames(ResponsePart):
    """Names for an ingredient list; from memory unless said otherwise: check them before you print them."""

    inci_name = Text(about="Of the fat", example="Olea Europaea Fruit Oil")
    inci_sodium_salt = Text(about="Of its sodium soap; empty if none is known", example="Sodium Olivate")
    provenance = Choice(PROVENANCES, attribute="verified", about="How they are known")
    salt_confidence = Text(about="high, low or empty; low: look it up before you print it", example="high")


class ValueByAcids(ResponsePart):
    """Saponification value that the row's own fatty acids give, compared with the middle of its range."""

    value = Number(about="By the fatty acids, each at the middle of its range", unit="mg KOH per g of fat",
                   example=190.6)
    middle = Number(about="The middle of the range", unit="mg KOH per g of fat", example=195)
    disagrees = Flag(about=f"They differ by more than {DISAGREE_PCT:.9g} %: a recipe with this fat says so",
                     example=True)


class AcidShare(ResponsePart):
    """A fatty acid."""

    notation = Text(about="Chain and double bonds", example="C18:1")
    min_pct = Number(about="Lower end", unit="% of fatty acids", example=55)
    max_pct = Number(about="Upper end", unit="% of fatty acids", example=83)
    typical_pct = Number(allow_none=True, about="Of a data set", unit="% of fatty acids", example=71.3)
    provenance = Choice(PROVENANCES, attribute="verified", about="How it is known")
    source = Text(about="Where it is from", example="Codex Alimentarius CXS 33-1981")


class Alias(ResponsePart):
    """Another name of a fat; a request may use it if only one fat has it."""

    name = Text(about="The name", example="linseed oil")
    language = Text(about="Its language, by ISO 639-1", example="en")


class FatLine(ResponsePart):
    """A fat of the list."""

    key = Text(about="Key", example="olive")
    name = Text(about="Name", example="olive oil (virgin, refined)")
    aliases = ListOf(Part(Alias), about="Other names, from memory")
    kind = Choice(KINDS, about="triglyceride, wax_ester or fatty_acid")
    saponification_value = Part(SaponificationFigure, about="Range, and how it is known")
    iodine_value = Part(OpenFigure, allow_none=True, about="Wijs, g iodine per 100 g; null if not known")
    source = Text(about="Where the figures are from", example="Codex Alimentarius CXS 33-1981")
    provenance = Choice(PROVENANCES, attribute="verified", about="read: every figure was read again; otherwise how "
                        "the weakest of them is known")


class CoopFatLine(ResponsePart):
    """A fat of the operator's data folder."""

    key = Text(about="Key that a request may use", example="village_shea")
    name = Text(about="Name, which a request may use too", example="village shea butter")
    saponification_value = Part(SaponificationRangeOfRecipe, about="Range")


class CoopCertificateLine(ResponsePart):
    """A certificate of the operator's data folder."""

    fat = Text(about="Key of the fat", example="village_shea")
    lot = Text(about="Lot that a request may name beside that fat; the figures then are those of the certificate",
               example="L-7")


class FatsResponse(ResponsePart):
    """Fats of the table, and of the operator's data folder."""

    omitted = ("coop_fats", "coop_certificates")

    fats = ListOf(Part(FatLine), about="In the table's order")
    coop_fats = ListOf(Part(CoopFatLine), about="All fats of the operator's data folder, whatever was searched for; "
                       "absent without such a folder")
    coop_certificates = ListOf(Part(CoopCertificateLine), about="All certificates of that folder")
    meta = Part(Meta, about="Versions of service and data")


class FatResponse(FatLine):
    """Everything known of a fat, and how it is known."""

    origin = Text(about="Plant or animal", example="Olea europaea L., fruit")
    label_names = Part(LabelNames, about="For an ingredient list")
    unsaponifiable_max = Part(UnsaponifiableFigure, allow_none=True, about="null if not known")
    relative_density = Part(ConditionFigure, allow_none=True, about="As the table has it; null if not known")
    density = Part(FatDensity, about="As computed with")
    refractive_index = Part(ConditionFigure, allow_none=True, about="null if not known")
    second_saponification_value = Part(OpenFigure, allow_none=True, about="Another published range, mg KOH per g")
    second_iodine_value = Part(OpenFigure, allow_none=True, about="Another published range, g iodine per 100 g")
    fatty_acids = ListOf(Part(AcidShare), about="In the table's order")
    saponification_value_by_acids = Part(ValueByAcids, allow_none=True, about="Compared with the range; null for "
                                         "what is not a triglyceride")
    read_at = Text(about="In which text the figures were read", example="third-party transcription")
    notes = ListOf(Text(example="The acid value of the wax is included."), about="What else to know about it")
    meta = Part(Meta, about="Versions of service and data")


@operation("GET", "/v1/fats", name="fats", query=FatsQuery, response=FatsResponse, group="data",
           main_table="fats", summary="The table of fats",
           description="Fats, oils, waxes and free acids, with the range of each figure "
           "and how it is known.")
def fats(wanted: FatFilter) -> object:
    """The table of fats (the loaded query)."""
    return answer("fats", fats=find_fats(wanted), **_of_coop())


def _of_coop() -> dict[str, Any]:
    use = current_coop.get()
    if use is None:
        return {}
    return {"coop_fats": [{"key": key, "name": one.fat.name or key, "saponification_value": one.fat.value_range}
                          for key, one in use.data.fats.items()],
            "coop_certificates": [{"fat": fat, "lot": lot} for fat, lot in use.data.certificates]}


def _by_acids(record: FatRecord) -> dict[str, object] | None:
    value = saponification_value_by_acids(record)
    if value is None:
        return None
    middle = (record.saponification_value.min + record.saponification_value.max) / 2
    return {"value": value, "middle": middle, "disagrees": 100 * abs(middle / value - 1) > DISAGREE_PCT}


@operation("GET", "/v1/fats/{key}", name="fat", response=FatResponse, group="data", statuses=(404,),
           main_table="fatty_acids", summary="Everything known of a fat",
           description="Every figure of the table, how it is known, and its "
           "source. A standard gives the allowed range, not your lot: the certificate of the lot overrides the table.")
def fat_by_key(key: str) -> object:
    """Everything known of a fat (`key`, or another name that only this fat bears)."""
    try:
        record = fat(key)
    except UnknownIngredient as error:
        raise Problem(404, error.detail) from None
    names = ("name", "aliases", "kind", "saponification_value", "iodine_value", "source", "verified", "origin",
             "label_names", "unsaponifiable_max", "relative_density", "refractive_index",
             "second_saponification_value", "second_iodine_value", "fatty_acids", "read_at")
    return answer("fats", key=record.key, notes=[record.notes] if record.notes else [], density=density_at_40(record),
                  saponification_value_by_acids=_by_acids(record),
                  **{name: getattr(record, name) for name in names})

