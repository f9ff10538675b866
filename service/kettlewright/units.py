"""The units of a request, at the edge. Inside there are grams, millimetres, millilitres and degrees Celsius only."""

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
    """The units that govern one request and its reply.

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
    """Let these units govern what is read and written inside the block (`units`)."""
    token = current_units.set(units)
    try:
        yield
    finally:
        current_units.reset(token)


def to_base(value: float, kind: str) -> float:
    """A quantity of the request, as the maths takes it (`value` [current unit], `kind`). [g, mm, mL or degC]"""
    factor, offset = OPTIONS[kind][getattr(current_units.get(), kind)]
    return value * factor + offset if factor != 1.0 else value


def from_base(value: float, kind: str) -> float:
    """A quantity of the maths, as the reply tells it (`value` [g, mm, mL or degC], `kind`). [current unit]"""
    factor, offset = OPTIONS[kind][getattr(current_units.get(), kind)]
    return (value - offset) / factor if factor != 1.0 else value


def in_current_units(amount: Amount) -> tuple[str, str]:
    """Digits and unit of a quantity, as the request has them (`amount`). [text]"""
    return amount.written(getattr(current_units.get(), amount.kind))
