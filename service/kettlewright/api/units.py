"""Units at the edge. Inside there are grams, millimetres, millilitres and degrees Celsius only."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from types import MappingProxyType

__all__ = ["KINDS", "OPTIONS", "Units", "current_units", "default_units", "from_base", "to_base", "using"]

OPTIONS: Mapping[str, Mapping[str, tuple[float, float]]] = MappingProxyType({
    # unit: (factor, offset) of base = value * factor + offset; the factors are exact by definition
    "mass": {"g": (1.0, 0.0), "kg": (1000.0, 0.0), "oz": (28.349523125, 0.0), "lb": (453.59237, 0.0)},
    "dose": {"g": (1.0, 0.0), "oz": (28.349523125, 0.0)},
    "length": {"mm": (1.0, 0.0), "cm": (10.0, 0.0), "in": (25.4, 0.0)},
    "volume": {"mL": (1.0, 0.0), "L": (1000.0, 0.0), "us_fl_oz": (29.5735295625, 0.0)},
    "temperature": {"degC": (1.0, 0.0), "degF": (5 / 9, -160 / 9)},
})
KINDS = tuple(OPTIONS)


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
