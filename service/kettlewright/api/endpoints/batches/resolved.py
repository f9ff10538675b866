"""What a plan rests on, kept for a remake, and what has changed since."""

from __future__ import annotations

from kettlewright import limits
from kettlewright.api.door.fields import Choice, Number, Text, Whole
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import ListOf, Part, Strict
from kettlewright.plan.resolved import LINE_UNITS, RESTS_ON, Resolved, ResolvedLine

__all__ = ["Comparison", "ResolvedInput", "ResolvedValues"]

_WHAT = "Dotted name of the value"
_VALUE = "In the unit of the line, whatever the units of the request"


class ResolvedLineInput(Strict):
    """A value of an earlier plan."""

    builds = ResolvedLine

    what = Text(required=True, about=_WHAT, example="fats.olive.saponification_value.min")
    value = Number(required=True, bounds=limits.ANY_VALUE, about=_VALUE, unit="unit of the line", example=184)
    unit = Choice(LINE_UNITS, required=True, about="Its unit")
    rests_on = Choice(RESTS_ON, required=True, about="Where it comes from")


class ResolvedInput(Strict):
    """What an earlier plan rested on, as its response gave it."""

    builds = Resolved

    identity = Text(required=True, about="Of that plan", example="7KQ4D-X2M9F")
    request = Text(required=True, about="Of its request alone", example="9T1WB-0HZ3K")
    version = Text(required=True, about="Version of the service then", example="0.2.0")
    data_version = Text(required=True, about="Version of the tables then", example="2026.3")
    lines = ListOf(Part(ResolvedLineInput), required=True, at_least=1, at_most=800, about="Its values")


class ResolvedValue(ResponsePart):
    """A value the plan rests on."""

    what = Text(about=_WHAT, example="fats.olive.saponification_value.min")
    value = Number(about=_VALUE, unit="unit of the line", example=184, signed=True)
    unit = Choice(LINE_UNITS, about="Its unit")
    rests_on = Choice(RESTS_ON, about="request: as given; table: of the tables; assumed: given nowhere; computed: "
                      "follows from the others; coop: of the operator's data folder")


class ResolvedValues(ResponsePart):
    """Every value the plan rests on."""

    identity = Text(about="Of this plan", example="7KQ4D-X2M9F")
    request = Text(about="Of its request alone, whatever the data", example="9T1WB-0HZ3K")
    version = Text(about="Version of the service", example="0.2.0")
    data_version = Text(about="Version of the tables", example="2026.3")
    lines = ListOf(Part(ResolvedValue), about="In the order of the work")


class Moved(ResponsePart):
    """A value that changed."""

    what = Text(about=_WHAT, example="fats.olive.saponification_value.min")
    unit = Choice(LINE_UNITS, about="Its unit")
    then = Number(allow_none=True, about="In the earlier plan; null if it had none", unit="unit of the line",
                  example=184, signed=True)
    now = Number(allow_none=True, about="In this one; null if it has none", unit="unit of the line", example=185,
                 signed=True)
    message = Text(attribute="why", about="Why it changed",
                   example="The tables say otherwise now (data 2026.3, then 2026.1).")


class Comparison(ResponsePart):
    """This plan compared with an earlier one."""

    identity = Text(about="Of the earlier plan", example="7KQ4D-X2M9F")
    message = Text(attribute="said", about="Whether request and tables are the same, in words",
                example="The same request, on the same data.")
    moved = ListOf(Part(Moved), about="Values that changed, in the order of the work")
    unmoved_count = Whole(about="Values that did not change", unit="values", example=58)

