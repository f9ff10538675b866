"""What the sheet and the card show of a reply, in working order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright.cautions import CATALOGUE, PLACES, SEVERITIES
from kettlewright.languages import translated
from kettlewright.said import Said

__all__ = ["Bottle", "Bucket", "Cup", "bottles_of", "buckets_of", "cautions_by_place", "danger_keys",
           "poured_in_another_order", "rows_in"]

_WORDS = {"danger": Said("danger"), "warning": Said("warning"), "info": Said("info"), "always": Said("always")}


def cautions_by_place(reply: Mapping[str, Any], *, leave_out: str = "") -> dict[str, list[dict[str, str]]]:
    """Standing and triggered cautions by place, the most severe first (`reply`; `leave_out`: a key). [cautions]"""
    placed: dict[str, list[dict[str, str]]] = {place: [] for place in PLACES}
    for caution in reply["cautions"]:
        placed[caution["place"]].append(_shown(caution["key"], caution["severity"], caution["message"]))
    for key in reply["standing_cautions"]:
        entry = CATALOGUE[key]
        if key != leave_out:
            placed[entry.place].append(_shown(key, "always", translated(entry.text)))
    for cautions in placed.values():
        cautions.sort(key=lambda item: -SEVERITIES.index(item["severity"]) if item["severity"] in SEVERITIES else 0)
    return placed


def _shown(key: str, severity: str, text: str) -> dict[str, str]:
    return {"key": key, "severity": severity, "word": translated(_WORDS[severity]), "text": text}


def danger_keys(reply: Mapping[str, Any]) -> tuple[str, ...]:
    """Keys of all dangers and of the warnings this batch triggers, the most severe first (`reply`). [keys]"""
    found = [(one["key"], one["severity"]) for one in reply["cautions"]]
    found += [(key, CATALOGUE[key].severity) for key in reply["standing_cautions"]
              if CATALOGUE[key].severity == "danger"]
    return tuple(dict.fromkeys(key for wanted in ("danger", "warning") for key, severity in found
                               if severity == wanted))


def rows_in(reply: Mapping[str, Any], *vessels: str) -> list[dict[str, Any]]:
    """The rows of the weigh list in some vessels (`reply`, `vessels`: values of `where`). [rows]"""
    return [row for row in reply["weigh_list"] if row["where"] in vessels]


@dataclass(frozen=True, slots=True)
class Cup:
    """A cup to weigh out of a bottle.

    Parameters
    ----------
    shown : mapping
        As in the reply. [as in JSON]
    form, on_top : str
        Its form, and "dusting" or "spray" if it goes on top, where the cups of its bottle differ in it. [text]
    """

    shown: Mapping[str, Any]
    form: str
    on_top: str


@dataclass(frozen=True, slots=True)
class Bottle:
    """A bottle or jar to weigh cups out of.

    Parameters
    ----------
    shown : mapping
        As in the reply. [as in JSON]
    form, on_top : str
        The form of all its cups, and "dusting" or "spray" if all go on top; empty where they differ. [text]
    cups : list of Cup
        In pour order, the pot first. [cups]
    """

    shown: Mapping[str, Any]
    form: str
    on_top: str
    cups: list[Cup]


def bottles_of(reply: Mapping[str, Any]) -> list[Bottle]:
    """What to set out before any lye, with the form of each cup (`reply`). [bottles]"""
    def bottle(one: Mapping[str, Any]) -> tuple[Any, ...]:
        return one["kind"], one["key"], one.get("lot")

    rows_of: dict[tuple[Any, ...], list[Mapping[str, Any]]] = {}
    for row in reply["weigh_list"]:
        if row["where"] != "jar":
            rows_of.setdefault(bottle(row), []).append(row)
    found = []
    for shown in reply["set_out"]:
        rows = rows_of.get(bottle(shown), [])
        forms = [row.get("form", "") for row in rows]
        tops = ["" if row["where"] != "mould" else "dusting" if row["kind"] == "dusting" else "spray" for row in rows]
        form, top = (each[0] if len(set(each)) == 1 else "" for each in (forms, tops))
        found.append(Bottle(shown, form, top, [
            Cup(cup, "" if form else own, "" if top else its_top)
            for cup, own, its_top in zip(shown["cups"], forms, tops, strict=True)]))
    return found


@dataclass(frozen=True, slots=True)
class Bucket:
    """A bucket of the sheet.

    Parameters
    ----------
    number : int
        Its place in the pour. [number]
    portion : mapping
        As in the reply. [as in JSON]
    batter, cups, on_top : list of mapping
        Rows of the weigh list: batter to weigh into it, cups to stir in, what is sifted on top. [as in JSON]
    late : set of str
        Names of the cups that go in right before it is poured. [text]
    darker : mapping, optional
        Of a fade: what makes it a step darker. [as in JSON]
    """

    number: int
    portion: Mapping[str, Any]
    batter: list[dict[str, Any]]
    cups: list[dict[str, Any]]
    on_top: list[dict[str, Any]]
    late: frozenset[str]
    darker: Mapping[str, Any] | None


def buckets_of(reply: Mapping[str, Any]) -> list[Bucket]:
    """The buckets in the order in which they are filled (`reply`). [buckets]"""
    late: dict[str | None, set[str]] = {}
    for step in reply["mixing_order"]:
        if step["when"] == "at_pour":
            late.setdefault(step["key"], set()).update(step["additions"])
    faded = {one["key"]: one for one in reply["fade"]["portions"]} if "fade" in reply else {}
    found = {}
    for number, portion in enumerate(reply["portions"], 1):
        rows = [row for row in reply["weigh_list"] if row.get("portion") == portion["key"]]
        found[portion["key"]] = Bucket(
            number, portion, [row for row in rows if row["kind"] == "batter"],
            [row for row in rows if row["where"] == "bucket" and row["kind"] != "batter"],
            [row for row in rows if row["where"] == "mould"], frozenset(late.get(portion["key"], ())),
            faded.get(portion["key"]))
    return [found[key] for key in reply["bucket_order"]]


def poured_in_another_order(reply: Mapping[str, Any]) -> bool:
    """Whether buckets are filled in another order than they are poured (`reply`). [yes or no]"""
    return list(reply["bucket_order"]) != [portion["key"] for portion in reply["portions"]]
