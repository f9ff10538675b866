"""Parts that many replies have."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

__all__ = ["Caution", "Range", "Reply", "Spread", "Vessels", "WeighRow", "WorkingLine"]


@dataclass(frozen=True, kw_only=True)
class Range:
    """A range."""

    min: float
    max: float


@dataclass(frozen=True, kw_only=True)
class Spread:
    """A range and its middle."""

    min: float
    mid: float
    max: float


@dataclass(frozen=True, kw_only=True)
class Caution:
    """A caution that the request triggers; `place` is the step of the work at which it matters."""

    key: str
    severity: str
    place: str
    message: str
    pointer: str


@dataclass(frozen=True, kw_only=True)
class WeighRow:
    """One weighing, in its own unit; `where`, `portion`, `kind`, `key` and `lot` together identify it."""

    kind: str
    where: str
    portion: str | None = None
    key: str
    name: str
    form: str | None = None
    lot: str | None = None
    weigh: float
    step: float
    unit: str
    each_mix: float | None = None
    take: float | None = None
    buy: str | None = None


@dataclass(frozen=True, kw_only=True)
class Vessels:
    """The smallest pot and jug."""

    pot: float
    jug: float


@dataclass(frozen=True, kw_only=True)
class WorkingLine:
    """A line of the calculation; print it to read it."""

    figure: str
    formula: str
    numbers: str
    result: float
    unit: str
    source: str

    def __str__(self) -> str:
        return (f"{self.figure}\n    {self.formula}\n    {self.numbers} = {self.result:.6g} {self.unit}"
                f"\n    {self.source}")


@dataclass(frozen=True, kw_only=True)
class Reply:
    """Fields of every reply to a calculation."""

    cautions: tuple[Caution, ...]
    standing_cautions: tuple[str, ...]
    worst_severity: str
    units: Mapping[str, str]
    locale: str = "en"
    meta: Mapping[str, Any]
    raw: Mapping[str, Any] = field(repr=False)
