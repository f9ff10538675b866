"""Ranges in responses."""

from __future__ import annotations

from kettlewright.api.door.fields import Mass, Number, Temperature
from kettlewright.api.door.responses import ResponsePart

__all__ = ["MassRange", "PctRange", "TemperatureRange"]


class PctRange(ResponsePart):
    """A range in percent."""

    min = Number(about="Lower end", unit="%", example=2.4, signed=True)
    max = Number(about="Upper end", unit="%", example=7.6, signed=True)


class TemperatureRange(ResponsePart):
    """A range of temperatures."""

    min_c = Temperature(attribute="min", about="With the older published heat of solution", example=90.2)
    max_c = Temperature(attribute="max", about="With the newer published heat of solution", example=94.1)


class MassRange(ResponsePart):
    """A range of masses."""

    min_g = Mass(about="Lower end", example=104.3)
    mid_g = Mass(about="Middle", example=115.3)
    max_g = Mass(about="Upper end", example=127.1)

