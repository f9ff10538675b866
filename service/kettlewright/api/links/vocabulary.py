"""The keys of every operation's address: one small table each."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from marshmallow import Schema

from kettlewright.api.links.grammar import AddressTerm, shown
from kettlewright.api.links.keys import Key, Link, Sorted, node_at
from kettlewright.api.schemas.batches import BatchesRequest
from kettlewright.api.schemas.cure import CureRequest
from kettlewright.api.schemas.cuts import CutsRequest
from kettlewright.api.schemas.lye import LyeRequest
from kettlewright.api.schemas.moulds import SHAPES, MouldsRequest
from kettlewright.api.schemas.portions import PortionsRequest
from kettlewright.api.schemas.scaling import ScalingRequest
from kettlewright.errors import OutOfRange
from kettlewright.release.days.dates import WEEKDAYS
from kettlewright.units import OPTIONS

__all__ = ["BATCH", "LINKS"]

_KIND_OF_UNIT = {unit: kind for kind in ("dose", "mass", "length", "volume", "temperature") for unit in OPTIONS[kind]}


def _unit(piece: AddressTerm) -> Sorted:
    """A unit names what it measures; only the unit of doses has to be distinguished from that of masses."""
    if piece.name and piece.name not in OPTIONS:
        raise OutOfRange(f"{shown(piece.name)} does not have a unit; use one of {', '.join(OPTIONS)}.")
    if not piece.name and piece.text not in _KIND_OF_UNIT:
        raise OutOfRange(f"{shown(piece.text)} is not a known unit; known units are {', '.join(_KIND_OF_UNIT)}.")
    return Sorted((piece.name or _KIND_OF_UNIT[piece.text],), piece.text)


def _closed(piece: AddressTerm) -> Sorted:
    """Weekdays, dates and spans of dates."""
    word = f"{piece.name}:{piece.text}" if piece.name else piece.text
    if word in WEEKDAYS:
        return Sorted(("weekdays",), word, in_list=True)
    if re.fullmatch(r"[0-9-]+", word):
        return Sorted(("dates",), word, in_list=True)
    first, dots, last = word.partition("..")
    if not dots:
        raise OutOfRange(f"{shown(word)} is neither a weekday ({', '.join(WEEKDAYS)}) nor a date such as 2027-01-01 "
                         "nor days in a row such as 2027-02-15..2027-02-19.")
    return Sorted(("spans",), {"first": first, "last": last}, in_list=True)


def _values(takes: type[Schema], *names: str, where: tuple[str, ...] = ()) -> tuple[Key, ...]:
    """Keys of single values, described by the body's schema."""
    node = node_at(takes(), where)
    return tuple(Key(name=name, into=(*where, name), about=node[name].metadata["description"],
                     example=_example(node[name].metadata["example"])) for name in names)


def _example(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


_UNITS = Key(name="units", into=("units",), sort=_unit, example="g,mm", about="Units of the address and of the "
             "response. Only the unit of doses needs its name: units=oz,dose:oz")
_SCALE = Key(name="scale", into=("scale",), example="readability:1,alkali_readability:0.1", about="Steps of the scales")
_MOULD_EXAMPLE = "box,length:380,width:260,depth:60,headspace:6"


def _recipe(*where: str) -> tuple[Key, ...]:
    """A recipe, at the top of a body or inside it."""
    return (
        Key(name="fat", into=(*where, "fats"), many=True, head="fat", own=("saponification_value", "name"),
            deeper={"sv": ("saponification_value",)}, example="olive,mass:700" if not where else "olive,share:70",
            about="A fat: its key, its mass or share. With sv, a range such as 180-185, the first word is your own "
            "name for it"),
        Key(name="alkali", into=(*where, "alkalis"), many=True, head="alkali", example="NaOH,purity:98",
            deeper={"stock_concentration_pct": ("stock", "concentration_pct"),
                    "stock_tolerance_pct": ("stock", "concentration_tolerance_pct"),
                    "stock_temperature": ("stock", "temperature")}, about="An alkali: NaOH or KOH"),
        Key(name="water", into=(*where, "water"), example="lye_concentration:33", about="How much water, by one of "
            "the three ways"),
        *_values(ScalingRequest if where else LyeRequest, "superfat_pct", "superfat_at_least_pct", where=where),
        Key(name="acid", into=(*where, "acids"), many=True, head="acid", example="citric_anhydrous,pct_of_fats:1.5",
            about="An acid that consumes alkali"),
        Key(name="liquid", into=(*where, "liquids"), many=True, head="name", about="A liquid in place of part of the "
            "water", example="goat milk,pct_of_fats:10,water:87,fat_pct:4,fat:butterfat"),
        Key(name="temperatures", into=(*where, "temperatures"), example="water:20,fats:38", about="Where known"))


def _addition(*within: str) -> Key:
    into_bucket = (within[0], within[1]) if within else None
    return Key(name="addition", into=("additions",), many=True, head="name", within=into_bucket,
               example="red iron oxide,kind:colourant,dose:6,basis:g_per_kg_batter", about="An addition"
               + (": into the pot, or into the portion named by to" if within else ""))


_LYE = Link("lye", LyeRequest(), (
    *_recipe(), *_values(LyeRequest, "batter_density", "expected_loss_pct", "workings", "locale"), _SCALE, _UNITS))

_SCALING = Link("scaling", ScalingRequest(), (
    *_recipe("recipe"),
    *_values(ScalingRequest, "factor", "fats_mass", "batter_mass", where=("target",)),
    Key(name="mould", into=("target", "mould"), head="shape", example=_MOULD_EXAMPLE, about="Filled to its headspace"),
    Key(name="residue", into=("target", "residue"), example="pot:15", about="With a mould: what stays behind"),
    Key(name="bars", into=("target", "bars"), example="count:40,mass:110,expected_loss:11", about="Bars of a cured "
        "mass"),
    Key(name="limiting", into=("target", "limiting"), head="key", example="coconut,kind:fat,mass:450", about="All that "
        "is left of one ingredient"),
    _addition(),
    *_values(ScalingRequest, "batter_density", "expected_loss_pct", "workings", "locale"), _SCALE, _UNITS),
    always=("recipe", "target"))

_AT_HAND = {name: ("mould", name) for shape in SHAPES.values() for name in node_at(shape, ())}

_MOULDS = Link("moulds", MouldsRequest(), (
    Key(name="mould", into=("mould",), head="shape", example=_MOULD_EXAMPLE, about="A mould, by its shape"),
    Key(name="fill", into=("fill",), example="depth:30", about="How far to fill it"),
    Key(name="at_hand", into=("moulds",), many=True, head="name", deeper=_AT_HAND, about="In place of mould: one of "
        "those at hand, by your name for it", example="long loaf,shape:box,length:250,width:100,depth:65,at_most:4"),
    Key(name="order", into=("order",), example="volume:9000", about="With at_hand: how much to mould"),
    *_values(MouldsRequest, "objective", "locale"), _UNITS))

_BUCKETS = (
    Key(name="portion", into=("portions",), many=True, head="name", example="red,share:100", about="A bucket, in pour "
        "order from the bottom"),
    _addition("portion", "additions"),
    Key(name="dusting", into=(), many=True, head="name", within=("portion", "dusting"), about="Powder on top of the "
        "layer of the portion named by to", example="kaolin,to:red,coverage:60"),
    Key(name="borrow", into=(), many=True, head="from", within=("portion", "borrows"), about="Batter out of another "
        "bucket, for the portion named by to", example="red,to:plain,share:40"),
    Key(name="residue", into=("residue",), example="pot:15,portion:4", about="What stays behind"),
    Key(name="mould", into=("mould",), head="shape", example=_MOULD_EXAMPLE, about="Where it goes"))

_PORTIONS = Link("portions", PortionsRequest(), (
    Key(name="batter", into=("batter",), example="mass:5000,density:1,fats_mass:3500", about="The batter before any "
        "addition"),
    *_BUCKETS, *_values(PortionsRequest, "arrangement", "expected_loss_pct", "locale"), _SCALE, _UNITS))


def _cut(takes: type[Schema], *where: str) -> tuple[Key, ...]:
    """How a block is cut, at the top of a body or inside it."""
    return (
        Key(name="loaf", into=(*where, "loaf"), example="width:75", about="The loaves; without it the block is one "
            "loaf", deeper={"trim_start": ("trim", "start"), "trim_end": ("trim", "end")}),
        Key(name="bar", into=(*where, "bar"), example="thickness:25", about="The bars"),
        Key(name="trim", into=(*where, "trim"), example="start:4,end:4", about="Cut off the ends first"),
        Key(name="tolerance", into=(*where, "tolerance"), example="length:1,width:1,height:2", about="Tolerances of "
            "the cuts"),
        *_values(takes, "kerf", "planing", "bevel", where=where))


_CUTS = Link("cuts", CutsRequest(), (
    Key(name="block", into=("block",), example="length:400,width:320,height:60", about="The block"),
    *_cut(CutsRequest), *_values(CutsRequest, "density", "expected_loss_pct", "locale"), _UNITS))

_DATES = (
    Key(name="dates", into=("dates",), example="release:2027-03-20", about="Dates of the batch, by its release or its "
        "pour"),
    Key(name="closed", into=("dates", "closed"), many=True, sort=_closed, example="sunday,2027-01-01", about="When "
        "nobody works: weekdays, dates, or days in a row as 2027-02-15..2027-02-19"))

_CURE = Link("cure", CureRequest(), (
    *_values(CureRequest, "name"), *_DATES,
    Key(name="weighing", into=("weighings",), many=True, example="day:7,mass:121.6", about="A bar on the scale"),
    Key(name="on", into=("on",), many=True, example="day:28", about="A day on which the mass is wanted"),
    Key(name="until", into=("until",), example="daily_loss:0.1,within:1", about="When a bar is dry"),
    Key(name="promise", into=("promise",), example="mass:110", about="Wet mass to make for a mass on the day"),
    *_values(CureRequest, "batter_mass", "water_mass", "expected_loss_pct", "stamp", "locale"), _UNITS))

BATCH = Link("batches", BatchesRequest(), (
    *_recipe("recipe"), *_BUCKETS, *_cut(BatchesRequest, "cut"), *_DATES,
    *_values(BatchesRequest, "arrangement", "expected_loss_pct", "batter_density", "pot_volume", "batch_number",
             "resolved", "workings", "locale"), _SCALE, _UNITS), always=("recipe",))
"""A whole batch without its label and prices; `plan` takes any. [link]"""

LINKS: Mapping[str, Link] = MappingProxyType({link.operation: link for link in (
    _LYE, _SCALING, _MOULDS, _PORTIONS, _CUTS, _CURE)})
"""Keys by operation."""
