"""How far a packed bar may be below the net quantity on its label, by market."""

from __future__ import annotations

import csv
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType

__all__ = ["ToleranceRow", "load_net_content_tolerances", "net_content_tolerances"]

_NOISE = 1e-9  # binary noise above a whole tenth
_EU = "EU_76_211_TNE"
_RULES = ("percent_of_nominal", "absolute")


@dataclass(frozen=True, slots=True)
class ToleranceRow:
    """One row of a table of tolerances.

    Parameters
    ----------
    over_g, up_to_g : float
        Net quantities above the first and up to the second. [g]
    pct, mass_g : float
        How far a bar may be below: a percentage of the net quantity, or a mass; the other is 0. [%, g]
    provenance, source : str
        How the row is known, one of `PROVENANCES`, and its source. [text]
    tenths : bool
        The percentage is rounded up to a tenth of a gram. [yes or no]
    """

    over_g: float
    up_to_g: float
    pct: float
    mass_g: float
    provenance: str
    source: str
    tenths: bool = False

    def tolerance_g(self, nominal_g: float) -> float:
        """How far a bar may be below a net quantity of this row (`nominal_g` [g]). [g]"""
        short = nominal_g * self.pct / 100 + self.mass_g
        return math.ceil(10 * short * (1 - _NOISE)) / 10 if self.tenths else short


def load_net_content_tolerances(text: str) -> Mapping[str, tuple[ToleranceRow, ...]]:
    """The tolerances of a table (`text`: comma-separated, with its header). [rows by scheme]

    Raises
    ------
    ValueError : gaps between rows, an unknown rule, an invalid tolerance.
    """
    found: dict[str, list[ToleranceRow]] = {}
    for row in csv.DictReader(text.splitlines()):
        over, up_to, value = float(row["over_g"]), float(row["up_to_g"]), float(row["value"])
        rows = found.setdefault(row["scheme"], [])
        joined = not rows or rows[-1].up_to_g == over
        if row["rule"] not in _RULES or not over < up_to or not joined or not value > 0:
            raise ValueError(f"table of net contents, {row['scheme']}: the row from {over:g} g is invalid")
        by_part = row["rule"] == _RULES[0]
        # Directive 76/211/EEC, Annex I 2.4, last sentence: percentages are rounded up to 0.1 g; from memory
        rows.append(ToleranceRow(over, up_to, value if by_part else 0.0, 0.0 if by_part else value,
                                 *_provenance(row["provenance"]), tenths=by_part and row["scheme"] == _EU))
    return MappingProxyType({scheme: tuple(rows) for scheme, rows in found.items()})


def _provenance(text: str) -> tuple[str, str]:
    """The word and the source of a text such as "read (copy of the directive)"."""
    for words, word in (("read", "read"), ("from memory", "memory")):
        if text.startswith(words):
            return word, text.removeprefix(words).strip("():; ") or text
    raise ValueError(f"table of net contents: {text!r} does not say how the row is known")


@cache
def net_content_tolerances() -> Mapping[str, tuple[ToleranceRow, ...]]:
    """All tables, by scheme: "EU_76_211_TNE" and "US_HB133_MAV". [rows]"""
    return load_net_content_tolerances(
        resources.files(__package__).joinpath("net_content_tolerances.csv").read_text(encoding="utf-8"))
