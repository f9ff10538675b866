"""Quantities: numbers in the units of the request."""

from __future__ import annotations

from typing import Any, ClassVar

from kettlewright.amounts import SYMBOLS
from kettlewright.api.door.field_errors import shown
from kettlewright.api.door.fields.numbers import Number, check_bounds
from kettlewright.digits import nine_digits
from kettlewright.units import OPTIONS, current_units, from_base, to_base

__all__ = ["Dose", "Length", "Mass", "Quantity", "Temperature", "Volume"]

_SUFFIX = {"mass": "_g", "dose": "_g", "length": "_mm", "volume": "_ml", "temperature": "_c"}


class Quantity(Number):
    """A number in one of the request's units. Loaded and dumped attributes bear the unit of the maths."""

    kind: ClassVar[str]

    def __init__(self, *, about: str = "", example: object = None, **more: Any) -> None:
        super().__init__(about=about, unit=f"units.{self.kind}", example=example, **more)

    @property
    def suffix(self) -> str:
        """What the attribute's name ends in. [text]"""
        return _SUFFIX[self.kind]

    def _deserialize(self, value: object, attr: str | None, data: object, **_: Any) -> float:
        number = to_base(self._number(value), self.kind)
        unit = getattr(current_units.get(), self.kind)
        given = f"{shown(value)} {SYMBOLS.get(unit, unit)}"
        return number if self.bounds is None else check_bounds(self.bounds, number, given)

    def _serialize(self, value: Any, attr: str | None, obj: Any, **_: Any) -> float | None:
        return None if value is None else nine_digits(from_base(value, self.kind))

    def bounds_over_units(self) -> tuple[float, float] | None:
        """The widest bounds over the units. [any of the units]"""
        if self.bounds is None:
            return None
        pairs = [((self.bounds.low - offset) / factor, (self.bounds.high - offset) / factor)
                 for factor, offset in OPTIONS[self.kind].values()]
        return min(low for low, _ in pairs), max(high for _, high in pairs)


class Mass(Quantity):
    """A mass. [g inside]"""

    kind = "mass"


class Dose(Quantity):
    """A mass on the fine scale. [g inside]"""

    kind = "dose"


class Length(Quantity):
    """A length. [mm inside]"""

    kind = "length"


class Volume(Quantity):
    """A volume. [mL inside]"""

    kind = "volume"


class Temperature(Quantity):
    """A temperature. [degC inside]"""

    kind = "temperature"
