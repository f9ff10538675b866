"""What you want on a label, and its draft."""

from __future__ import annotations

import datetime
from typing import Any, ClassVar

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Flag, Mass, Number, Text, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.api.parts.coop import current_coop
from kettlewright.api.parts.ranges import MassRange
from kettlewright.errors import OutOfRange
from kettlewright.reference import PROVENANCES
from kettlewright.release import Label, LabelOptions, OwnName
from kettlewright.release.label.allergens_found import LISTS
from kettlewright.release.label.ingredient_list import GROUPS, ROLES
from kettlewright.release.label.label_options import NAMINGS
from kettlewright.release.label.markets import MARKETS, SOLD_AS

__all__ = ["LabelDraft", "LabelInput", "OwnNameInput", "note_names"]

_REQUIRED = ("always", "if_any", "unless_clear")
_STATUSES = ("stated", "listed", "not_listed", "not_shown")


def _calendar_day(text: str) -> None:
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        raise OutOfRange(f'"{text}" is not a day of the calendar; write it as 2026-11-25.', value=text,
                         allowed="a day such as 2026-11-25") from None


def _month_or_day(text: str) -> None:
    _calendar_day(text if len(text) > len("2029-03") else f"{text}-01")


class OwnNameInput(Strict):
    """A line of your own list of label names; the list may be longer than this batch needs."""

    builds = OwnName

    key = Text(required=True, about="Key of a fat, or your name of a liquid, addition or powder", example="kaolin")
    inci = Text(about="Name on a label; for a pearlescent pigment several colour index numbers, with commas between "
                "them",
                example="Kaolin")
    inci_as_reacted = Text(about="Of a fat: name of its sodium soap", example="Sodium Shea Butterate")
    permitted_in = ListOf(Choice(tuple(MARKETS)), at_most=len(MARKETS), about="Of a colourant: markets in which its "
                          "supplier's papers say it is permitted")


class LabelInput(Strict):
    """What you want on a label."""

    @staticmethod
    def builds(**given: Any) -> LabelOptions:
        """Label options, with the names that the co-op's makers share."""
        use = current_coop.get()
        return LabelOptions(**given) if use is None else LabelOptions(**given, shared_names=use.data.names)

    market = Choice(tuple(MARKETS), required=True, about="Where it is sold: the European Union, Great Britain or the "
                    "United States")
    naming = Choice(NAMINGS, about="Names of fats and alkali as added (default), or of soap, glycerin and what stays "
                    "free")
    sold_on = Text(pattern=r"[0-9]{4}-[0-9]{2}-[0-9]{2}", like="a day such as 2026-11-25", check=_calendar_day,
                   about="The day the batch is first placed on the market, as YYYY-MM-DD; it decides which list of "
                   "allergens applies in the EU", example="2027-03-20")
    allergen_list = Choice(LISTS, about="Which list to use, where you may choose: the longer one or the 26 of 2003")
    net_quantity_g = Mass(bounds=limits.MASS, about="To print; default what every bar contains", example=95)
    piece_tolerance_pct = Number(bounds=limits.TOLERANCE_PCT, about="Of pieces that are not cut: tolerance of their "
                                 "mass either way; default 3", unit="%", example=3)
    sold_as = Choice(SOLD_AS, about="United States: labelled, sold and represented only as soap, or as a cosmetic")
    responsible_person = Text(about="Name and address, as printed", example="Invented Soapworks, 1 Example Lane")
    batch_number = Text(about="As printed", example="K-26-11")
    durability = Text(pattern=r"[0-9]{4}-(0[1-9]|1[0-2])(-(0[1-9]|[12][0-9]|3[01]))?", check=_month_or_day,
                      like="a month such as 2029-03 or a day", about="It keeps until the end of this "
                      "month or day, 30 months or less", example="2029-03")
    period_after_opening_months = Whole(bounds=limits.MONTHS, about="In place of durability, for what keeps longer",
                                        unit="months", example=12)
    precautions = ListOf(Text(example="Avoid contact with eyes."), at_most=20, about="As printed")
    function = Text(about="What it is for, as printed", example="Soap")
    names = ListOf(Part(OwnNameInput), at_most=500, about="Your own list of label names")


class Ingredient(ResponsePart):
    """A line of the ingredient list."""

    omitted: ClassVar[tuple[str, ...]] = ("colour_status",)

    name = Text(about="As printed", example="Olea Europaea Fruit Oil")
    share_pct = Number(about="As added; of an allergen, which is a part of the scent, the same", unit="% by mass",
                       example=33.5)
    group = Choice(GROUPS, about="In falling order; below 1 %, in any order; or colourants, last in any order")
    role = Choice(ROLES, about="What it is on the list")
    named_by = Choice(("you", "table", "market", "fallback", "coop"), about="Where the name comes from: you, the "
                      "table, the law, your own word because no label name is known, or the operator's data folder")
    made_of = ListOf(Text(example="olive oil"), about="Your words for what it is made from")
    notes = ListOf(Text(example="red iron oxide: Annex IV, from memory."), attribute="remarks",
                   about="What to know about it")
    doubts = ListOf(Text(example="The name of the soap of walnut oil is not known well enough here: told as added."),
                    about="Why something in it is listed as added although you requested its salt")
    colour_status = Choice(_STATUSES, about="Of a colourant: stated as permitted by you, listed in our table, not "
                           "listed there, or not shown as permitted")


class Allergen(ResponsePart):
    """A listed allergen in these bars, named on the label or not."""

    name = Text(about="On a label", example="Limonene")
    concentration_pct = Number(about="In the bar with the most of it, on its lowest, cured mass", unit="% by mass",
                               example=0.0106)
    limit_pct = Number(about="Named above this", unit="% by mass", example=0.01)
    above_limit = Flag(about="Whether it is above the limit", example=True)
    lists = ListOf(Choice(LISTS), about="Lists it is on")
    prohibited = Flag(about="No longer allowed in cosmetics in the EU and in Great Britain", example=False)


class AllergensByList(ResponsePart):
    """What a list names."""

    list = Choice(LISTS, about="Which list")
    names = ListOf(Text(example="Limonene"), about="What it names on this label")


class NetQuantity(ResponsePart):
    """What the label promises, and how bars keep it."""

    omitted: ClassVar[tuple[str, ...]] = ("text", "largest_text")

    promise_g = Mass(about="Net quantity on the label, which the bars must meet: yours, else what every bar contains; "
                     "rounded down",
                     example=95)
    asked = Flag(about="Given by you", example=True)
    text = Text(about="As printed, in the units of the market, rounded down; absent if that is zero",
                example="95 g")
    every_bar_g = Mass(about="What the lightest bar contains, rounded down", example=93)
    largest_g = Mass(about="Largest net quantity that the rules of the market allow, rounded down", example=102)
    largest_text = Text(about="The same as printed", example="102 g")
    tolerance_g = Mass(about="How far a bar may fall short of the promise", example=4.5)
    provenance = Choice(PROVENANCES, attribute="tolerance_provenance", about="How the tolerance is known")
    source = Text(attribute="tolerance_source", about="Source of the tolerance",
                  example="copy of Directive 76/211/EEC Annex I 2.4")
    mass = Part(MassRange, about="Of one bar on the day of packing")
    short_share_pct = Number(about="Bars that weigh less than the promise, an estimate", unit="% of bars", example=1.2)
    beyond_share_pct = Number(about="Bars short by more than the tolerance, an estimate", unit="% of bars", example=0)
    short_count = Whole(about="The first, rounded up", unit="bars", example=1)
    beyond_count = Whole(about="The second, rounded up", unit="bars", example=0)


class BarLabel(ResponsePart):
    """The label of bars whose list is the same."""

    count = Whole(allow_none=True, about="How many; null if it is not known", unit="bars", example=60)
    where = ListOf(Text(example="all bars"), about="Which bars")
    holds = ListOf(Text(example="deep_red"), about="Keys of the portions in them")
    text = Text(about="The list as printed", example="Ingredients: Olea Europaea Fruit Oil, Aqua, Sodium Hydroxide.")
    ingredients = ListOf(Part(Ingredient), about="The list, line by line; shares are of the most numerous bars")
    declared = ListOf(Text(example="Limonene"), about="Allergens named in it")
    allergens = ListOf(Part(Allergen), about="Every listed allergen in these bars")
    by_list = ListOf(Part(AllergensByList), about="What each list would name; empty if no list binds")
    net_quantity = Part(NetQuantity, allow_none=True, about="Null if the mass of a bar is not known")


class LabelElement(ResponsePart):
    """Something the label carries beside its ingredients."""

    key = Text(about="Key", example="batch_number")
    name = Text(about="What it is", example="batch number")
    required = Choice(_REQUIRED, about="Always, if there is any, or unless it is obvious")
    text = Text(allow_none=True, about="As printed; null if not given", example="K-26-11")


class MissingName(ResponsePart):
    """Something a label needs and nobody has given."""

    key = Text(about="Which element", example="responsible_person")
    message = Text(about="What to do", example='Give "responsible_person": a name and an address in the EU.')


class LeftOutSpray(ResponsePart):
    """Something that is used and is not on the list: a spray, or a CAS number that is not a listed allergen."""

    name = Text(about="What", example="isopropanol")
    message = Text(attribute="reason", about="Why", example="A spray on top is taken to fly off.")


class ChosenList(ResponsePart):
    """The list of allergens the label goes by."""

    key = Choice((*LISTS, "none"), about="Which list")
    message = Text(attribute="reason", about="Why",
                   example="It binds for what is placed on the market from 2026-07-31.")


class LabelDraft(ResponsePart):
    """The labels of a batch."""

    omitted: ClassVar[tuple[str, ...]] = ("title", "sold_as", "message")

    title = Text(about="Title of the batch", example="Kiln Dusk")
    market = Choice(tuple(MARKETS), attribute="market.key", about="Where it is sold")
    naming = Choice(NAMINGS, about="As added or as reacted")
    labels = ListOf(Part(BarLabel), attribute="bars", about="One for each ingredient list that differs")
    allergen_list = Part(ChosenList, about="The list of allergens used")
    elements = ListOf(Part(LabelElement), about="What else is on the label")
    missing = ListOf(Part(MissingName), about="What is still missing")
    left_out = ListOf(Part(LeftOutSpray), about="What is used but not on the list")
    loss_pct = Number(about="Loss in cure that was used", unit="% of the bar as poured", example=11)
    loss_assumed = Flag(about="No loss was given: all water is assumed lost", example=False)
    soap_part_pct = Number(about="Salts of fatty acids in the mass without water, over the whole batch",
                           unit="% by mass",
                           example=84)
    sold_as = Choice(SOLD_AS, about="United States: as given")
    message = Text(attribute="what_follows", about="United States: what follows from soap or cosmetic",
                   example="A cosmetic: the ingredient list is needed.")
    steps_outside = ListOf(Text(example="Safety assessment by a qualified assessor."), attribute="market.steps_outside",
                           about="What else you have to do before you sell")
    notes = ListOf(Text(example="Information, no legal advice: local law and your safety assessor decide."),
                   about="What to know, and how certain it is")


def note_names(label: Label | None) -> None:
    """Note which names of a label are the co-op's (`label`: none if none was requested)."""
    use = current_coop.get()
    if use is not None and label is not None:
        for bar in label.bars:
            for ingredient in bar.ingredients:
                for key in ingredient.rows:
                    use.take("names", key)
