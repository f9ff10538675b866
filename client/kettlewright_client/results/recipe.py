"""Replies of `lye` and `scaling`: what goes into the pot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright_client.results.ground import Range, Reply, Spread, Vessels, WeighRow, WorkingLine

__all__ = ["Alkali", "Batter", "Dominant", "Fat", "FloorCost", "Heat", "Ice", "Ingredient", "InputShare", "Liquid",
           "Lye", "LyeAt", "LyeCore", "LyeSolution", "LyeWithList", "Mixing", "Scaled", "Soap", "Stock", "Superfat",
           "Water"]


@dataclass(frozen=True, kw_only=True)
class Ingredient:
    """An acid to weigh."""

    key: str
    name: str
    mass: float
    weigh: float
    lot: str | None = None


@dataclass(frozen=True, kw_only=True)
class Fat(Ingredient):
    """A fat to weigh."""

    share_pct: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Stock:
    """A stock solution to weigh."""

    mass: float
    weigh: float
    water_mass: float


@dataclass(frozen=True, kw_only=True)
class Alkali(Ingredient):
    """An alkali to weigh; with a stock, mass and weigh are those of the solution."""

    mass_pure: float = 0.0
    stock: Stock | None = None


@dataclass(frozen=True, kw_only=True)
class Ice:
    """Ice to weigh."""

    mass: float
    weigh: float


@dataclass(frozen=True, kw_only=True)
class Water:
    """Water to weigh, ice included."""

    mass: float
    weigh: float
    ice: Ice | None = None


@dataclass(frozen=True, kw_only=True)
class Liquid:
    """A liquid to weigh; it replaces part of the water."""

    key: str
    name: str
    mass: float
    weigh: float
    lot: str | None


@dataclass(frozen=True, kw_only=True)
class Heat:
    """The heat behind the peak temperature."""

    basis: str
    after_heat_loss: Range
    with_half_ice: Range | None
    boiling: float


@dataclass(frozen=True, kw_only=True)
class LyeAt:
    """The lye at the temperature you gave."""

    temperature: float
    density: float
    volume: float
    within_validity: bool


@dataclass(frozen=True, kw_only=True)
class LyeSolution:
    """The lye in the jug."""

    mass: float
    concentration_pct: float
    concentration_pure_pct: float
    water_to_alkali: float | None
    density: float
    volume: float
    peak_temperature: Range | None
    heat: Heat | None = None
    at_temperature: LyeAt | None = None


@dataclass(frozen=True, kw_only=True)
class InputShare:
    """The share of one input in the spread of the superfat."""

    input: str
    key: str
    variance_share_pct: float


@dataclass(frozen=True, kw_only=True)
class Dominant:
    """The main cause of the spread, and how to reduce it."""

    input: str
    key: str
    variance_share_pct: float
    likely_pct_if_known: Range
    message: str


@dataclass(frozen=True, kw_only=True)
class FloorCost:
    """The cost of a minimum superfat over the whole declared range."""

    extra_superfat_pct: float
    extra_free_fat_mass: float
    message: str


@dataclass(frozen=True, kw_only=True)
class Superfat:
    """The superfat, and how far it can be off."""

    asked_pct: float
    achieved_pct: float
    likely_pct: Range
    worst_case_pct: Range
    inputs: tuple[InputShare, ...]
    dominant: Dominant | None
    floor_cost: FloorCost | None = None


@dataclass(frozen=True, kw_only=True)
class Soap:
    """The soap made."""

    mass: float
    glycerol_mass: float
    tfm_pct: float
    tfm_after_loss_pct: float | None
    free_fat_mass: float
    free_alkali_mass: float
    free_alkali_worst_case_mass: float
    water_mass: float


@dataclass(frozen=True, kw_only=True)
class Mixing:
    """Temperature at which fats and lye meet."""

    batter: float | None
    lye: float | None


@dataclass(frozen=True, kw_only=True)
class Batter:
    """The batter before any addition."""

    mass: float
    density: float
    volume: float


@dataclass(frozen=True, kw_only=True)
class LyeCore:
    """What to weigh for a recipe, and the result."""

    fats: tuple[Fat, ...]
    acids: tuple[Ingredient, ...]
    liquids: tuple[Liquid, ...]
    alkalis: tuple[Alkali, ...]
    water: Water
    solution: LyeSolution
    superfat: Superfat
    saponification_value: Spread
    soap: Soap
    batter: Batter
    mixing: Mixing | None = None


@dataclass(frozen=True, kw_only=True)
class LyeWithList(LyeCore):
    """The same, with vessels and the weigh list."""

    vessels: Vessels
    weigh_list: tuple[WeighRow, ...]


@dataclass(frozen=True, kw_only=True)
class Lye(LyeWithList, Reply):
    """Reply of `lye`."""

    workings: tuple[WorkingLine, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Scaled(Reply):
    """Reply of `scaling`; you can send `recipe` again unchanged."""

    factor: float | None
    recipe: Mapping[str, Any]
    lye: LyeWithList
    workings: tuple[WorkingLine, ...] = ()
