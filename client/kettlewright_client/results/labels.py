"""Replies of `labels`."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright_client.results.ground import Reply, Spread

__all__ = ["Allergen", "AllergensByList", "BarLabel", "ChosenList", "Label", "LabelElement", "LabelLine", "Labels",
           "LeftOut", "Missing", "NetQuantity"]


@dataclass(frozen=True, kw_only=True)
class LabelLine:
    """A line of an ingredient list."""

    name: str
    share_pct: float
    group: str
    role: str
    named_by: str
    made_of: tuple[str, ...]
    notes: tuple[str, ...]
    doubts: tuple[str, ...]
    colour_status: str | None = None


@dataclass(frozen=True, kw_only=True)
class Allergen:
    """A listed allergen in bars, named on their label or not."""

    name: str
    concentration_pct: float
    limit_pct: float
    above_limit: bool
    lists: tuple[str, ...]
    prohibited: bool


@dataclass(frozen=True, kw_only=True)
class AllergensByList:
    """The allergens that a list names."""

    list: str
    names: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class NetQuantity:
    """The net quantity of a label, and how the bars meet it."""

    promise: float
    asked: bool
    every_bar: float
    largest: float
    tolerance: float
    provenance: str
    source: str
    mass: Spread
    short_share_pct: float
    beyond_share_pct: float
    short_count: int
    beyond_count: int
    text: str | None = None
    largest_text: str | None = None


@dataclass(frozen=True, kw_only=True)
class BarLabel:
    """The label of bars with the same ingredient list."""

    count: int | None
    where: tuple[str, ...]
    holds: tuple[str, ...]
    text: str
    ingredients: tuple[LabelLine, ...]
    declared: tuple[str, ...]
    allergens: tuple[Allergen, ...]
    by_list: tuple[AllergensByList, ...]
    net_quantity: NetQuantity | None


@dataclass(frozen=True, kw_only=True)
class ChosenList:
    """The list of allergens that applies to a label."""

    key: str
    message: str


@dataclass(frozen=True, kw_only=True)
class LabelElement:
    """An element of a label other than its ingredients."""

    key: str
    name: str
    required: str
    text: str | None


@dataclass(frozen=True, kw_only=True)
class Missing:
    """An element that a label needs and that is missing."""

    key: str
    message: str


@dataclass(frozen=True, kw_only=True)
class LeftOut:
    """An ingredient that is left out of the list."""

    name: str
    message: str


@dataclass(frozen=True, kw_only=True)
class Label:
    """The labels of a batch."""

    market: str
    naming: str
    labels: tuple[BarLabel, ...]
    allergen_list: ChosenList
    elements: tuple[LabelElement, ...]
    missing: tuple[Missing, ...]
    left_out: tuple[LeftOut, ...]
    loss_pct: float
    loss_assumed: bool
    soap_part_pct: float
    steps_outside: tuple[str, ...]
    notes: tuple[str, ...]
    title: str | None = None
    sold_as: str | None = None
    message: str | None = None


@dataclass(frozen=True, kw_only=True)
class Labels(Reply):
    """Reply of `labels`."""

    label: Label
