"""Units of a request and of its response."""

from __future__ import annotations

from kettlewright.api.door.fields import Choice
from kettlewright.api.door.responses import ResponsePart
from kettlewright.api.door.strict import Strict
from kettlewright.api.links import AddressTerm, Key, Sorted, shown
from kettlewright.errors import OutOfRange
from kettlewright.units import OPTIONS, Units

__all__ = ["UNITS_KEY", "UnitsChoice", "UnitsOfResponse"]


class UnitsChoice(Strict):
    """The units that govern every quantity of the request and of its response."""

    builds = Units

    mass = Choice(list(OPTIONS["mass"]), about="Unit of masses")
    dose = Choice(list(OPTIONS["dose"]), about="Unit of additions, powders and acids")
    length = Choice(list(OPTIONS["length"]), about="Unit of lengths")
    volume = Choice(list(OPTIONS["volume"]), about="Unit of volumes")
    temperature = Choice(list(OPTIONS["temperature"]), about="Unit of temperatures")


class UnitsOfResponse(ResponsePart, UnitsChoice):
    """The units of every quantity of a response."""

    class Meta(ResponsePart.Meta):
        pass


_KIND_OF_UNIT = {unit: kind for kind in ("dose", "mass", "length", "volume", "temperature") for unit in OPTIONS[kind]}


def _unit(piece: AddressTerm) -> Sorted:
    """A unit names what it measures; only the unit of doses has to be distinguished from that of masses."""
    if piece.name and piece.name not in OPTIONS:
        raise OutOfRange(f"{shown(piece.name)} does not have a unit; use one of {', '.join(OPTIONS)}.")
    if not piece.name and piece.text not in _KIND_OF_UNIT:
        raise OutOfRange(f"{shown(piece.text)} is not a known unit; known units are {', '.join(_KIND_OF_UNIT)}.")
    return Sorted((piece.name or _KIND_OF_UNIT[piece.text],), piece.text)


UNITS_KEY = Key(name="units", into=("units",), sort=_unit, example="g,mm", about="Units of the address and of the "
                "response. Only the unit of doses needs its name: units=oz,dose:oz")
