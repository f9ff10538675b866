"""The units of a request. They apply where values enter and leave: the maths has g, mm, mL and degrees Celsius only."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

from kettlewright.amounts import KINDS, UNITS, Amount

__all__ = ["KINDS", "OPTIONS", "Units", "current_units", "default_units", "from_base", "in_current_units", "to_base",
           "using"]

OPTIONS = UNITS


@dataclass(frozen=True, slots=True)
class Units:
    """The units of one request and its response.

    Parameters
    ----------
    mass, dose, length, volume, temperature : str
        One of `OPTIONS`. [unit]
    """

    mass: str = "g"
    dose: str = "g"
    length: str = "mm"
    volume: str = "mL"
    temperature: str = "degC"


default_units = Units()
current_units: ContextVar[Units] = ContextVar("current_units", default=default_units)


@contextmanager
def using(units: Units) -> Iterator[None]:
    """Use these units for everything read and written inside the block (`units`)."""
    token = current_units.set(units)
    try:
        yield
    finally:
        current_units.reset(token)


def to_base(value: float, kind: str) -> float:
    """Convert a quantity of the request for the maths (`value` [current unit], `kind`). [g, mm, mL or degC]"""
    factor, offset = OPTIONS[kind][getattr(current_units.get(), kind)]
    return value * factor + offset if factor != 1.0 else value


def from_base(value: float, kind: str) -> float:
    """Convert a quantity of the maths for the response (`value` [g, mm, mL or degC], `kind`). [current unit]"""
    factor, offset = OPTIONS[kind][getattr(current_units.get(), kind)]
    return (value - offset) / factor if factor != 1.0 else value


def in_current_units(amount: Amount) -> tuple[str, str]:
    """Digits and unit of a quantity in the request's units (`amount`). [text]"""
    return amount.written(getattr(current_units.get(), amount.kind))
