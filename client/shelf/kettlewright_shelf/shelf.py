"""The shelf: what a workshop keeps of its batches, by the names that are on the paper."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import Any

from kettlewright_client import Client

from kettlewright_shelf.errors import ShelfError
from kettlewright_shelf.file import ShelfFile
from kettlewright_shelf.stock import BatchRows, LotLeft, LotOnShelf, Place, PlannedRow, Use, Weighed, left_of, uses_of

__all__ = ["Shelf", "grams"]

_GRAMS: Mapping[str, float] = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
_LARGEST_G = 1e7
_WORDS = ("title", "maker", "notes")  # of a batch: the identity of its plan does not depend on them
_ONLY_YOU_KNOW = ("bars", "weighings", "rescue_with", "mix", "record", "locale")
_ENOUGH = 1e-6  # of a gram: less is the arithmetic


def grams(mass: float, unit: str = "g") -> float:
    """A mass in grams.

    Parameters
    ----------
    mass : float
        In the unit. [unit]
    unit : str
        g, kg, oz or lb (avoirdupois, exact by the international agreement of 1959). [unit]

    Returns
    -------
    float : [g]

    Raises
    ------
    ShelfError : an unknown unit, or no mass.
    """
    if unit not in _GRAMS:
        raise ShelfError(f'"{unit}" is not a unit of mass here; use {", ".join(_GRAMS)}.')
    found = mass * _GRAMS[unit]
    if not 0 <= found <= _LARGEST_G:
        raise ShelfError(f"{mass:g} {unit} is not a mass between 0 and {_LARGEST_G / 1000:g} kg.")
    return found


def _day(given: str | None, what: str) -> str | None:
    if given is None:
        return None
    try:
        return date.fromisoformat(given).isoformat()
    except ValueError:
        raise ShelfError(f'{what} is "{given[:40]}"; give a day such as 2027-01-04.') from None


def _line(given: str, what: str) -> str:
    text = given.strip()
    if not text or len(text) > 200 or not text.isprintable():
        raise ShelfError(f"{what} must be one line of 1 to 200 characters.")
    return text


class Shelf:
    """Plans, batches, lots, weighings and records in one file.

    Parameters
    ----------
    path : str or Path
        The file; made if it is not there. [path]
    wait : float
        How long to wait for another process that writes. [s]
    today : str, optional
        The day; that of the clock if not given. [date]

    Raises
    ------
    ShelfError : not a shelf, or it cannot be opened.
    """

    def __init__(self, path: str | Path, *, wait: float = 10.0, today: str | None = None) -> None:
        self._today = _day(today, "today")
        self.file = ShelfFile(path, wait=wait)

    def __enter__(self) -> Shelf:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        self.file.close()

    @property
    def today(self) -> str:
        """The day. [date]"""
        return self._today or date.today().isoformat()

    def add_plan(self, body: Mapping[str, Any], client: Client, *, number: str | None = None,
                 made_on: str | None = None) -> str:
        """Plan a batch and keep the plan, with all values it rests on.

        Parameters
        ----------
        body : mapping
            As for `client.batches`. [units]
        client : Client
            Of the service. [client]
        number : str, optional
            Of the batch; else `batch_number` of the body, else the identity and a count. [text]
        made_on : str, optional
            Day; today if not given. [date]

        Returns
        -------
        str : the batch's number

        Raises
        ------
        ShelfError : the number is taken.
        ClientError : the service refuses the body, or does not answer.
        """
        reply = json.loads(client.form("batches", "json", _text({**body, "resolved": True}).encode()))
        identity, day = str(reply["identity"]), _day(made_on, "The day") or self.today
        with self.file.writing() as db:
            db.execute("INSERT OR IGNORE INTO plans VALUES (?, ?, ?, ?, ?)", (
                identity, body.get("title"), _text(body), _text(reply), self.today))
            wanted = number or body.get("batch_number") or self._free_number(db, identity)
            wanted = _line(str(wanted), "The number of a batch")
            if db.execute("SELECT 1 FROM batches WHERE number = ?", (wanted,)).fetchone():
                raise ShelfError(f'There is a batch "{wanted}" on the shelf; give this one another number.')
            bars = reply.get("cuts", {}).get("bars", {}).get("count")
            words = _text({name: body[name] for name in _WORDS if name in body})
            db.execute("INSERT INTO batches VALUES (?, ?, ?, ?, ?)", (wanted, identity, day, bars, words))
        return wanted

    @staticmethod
    def _free_number(db: sqlite3.Connection, identity: str) -> str:
        count = db.execute("SELECT count(*) FROM batches WHERE identity = ?", (identity,)).fetchone()[0]
        return f"{identity}-{count + 1}"

    def plan_of(self, number: str) -> tuple[dict[str, Any], dict[str, Any]]:
        """Body and reply of a batch's plan, with title, maker and notes of this batch (`number`). [as in JSON]"""
        found = self.file.rows("SELECT body, reply, words FROM plans JOIN batches USING (identity) WHERE number = ?",
                               (number,))
        if not found:
            raise self._not_here(number)
        body, reply = json.loads(found[0]["body"]), json.loads(found[0]["reply"])
        if found[0]["words"] is None:
            return body, reply
        words = json.loads(found[0]["words"])
        return _with_words(body, words), _with_words(reply, words)

    def _not_here(self, number: str) -> ShelfError:
        known = [row["number"] for row in self.file.rows("SELECT number FROM batches ORDER BY made_on DESC LIMIT 5")]
        newest = f" The newest are {', '.join(known)}." if known else " The shelf is empty."
        return ShelfError(f'No batch "{number[:60]}" is on the shelf.{newest}')

    def add_lot(self, key: str, lot: str, mass: float, unit: str = "g", *, received: str | None = None,
                best_before: str | None = None, supplier: str | None = None,
                certificate: Mapping[str, Any] | None = None) -> None:
        """Put a lot on the shelf.

        Parameters
        ----------
        key, lot : str
            Of the ingredient, as `buy` in a weigh list; the supplier's number. [text]
        mass : float
            As received. [unit]
        unit : str
            g, kg, oz or lb. [unit]
        received, best_before : str, optional
            Days; received today if not given. [date]
        supplier : str, optional
            From whom. [text]
        certificate : mapping, optional
            What the recipe says of a fat of this lot, such as `saponification_value`. `remake` uses it. [as in JSON]

        Raises
        ------
        ShelfError : that lot is there already.
        """
        key, lot, mass_g = _line(key, "The ingredient"), _line(lot, "The lot"), grams(mass, unit)
        if mass_g <= 0:
            raise ShelfError("A lot has a mass above 0.")
        values = (key, lot, mass_g, _day(received, "received") or self.today, _day(best_before, "best_before"),
                  None if supplier is None else _line(supplier, "The supplier"),
                  None if certificate is None else _text(certificate), None)
        with self.file.writing() as db:
            try:
                db.execute("INSERT INTO lots VALUES (?, ?, ?, ?, ?, ?, ?, ?)", values)
            except sqlite3.IntegrityError:
                raise ShelfError(f'Lot "{lot}" of {key} is on the shelf already.') from None

    def use_up(self, key: str, lot: str) -> None:
        """Mark a lot as used up: what the sums still show of it is gone (`key`, `lot`). [text]

        Raises
        ------
        ShelfError : no such lot, or it was used up before.
        """
        with self.file.writing() as db:
            found = db.execute("SELECT used_up_on FROM lots WHERE key = ? AND lot = ?", (key, lot)).fetchone()
            if found is None:
                raise ShelfError(f'No lot "{lot[:60]}" of {key[:60]} is on the shelf.')
            if found["used_up_on"] is not None:
                raise ShelfError(f'Lot "{lot}" of {key} was marked as used up on {found["used_up_on"]} already.')
            db.execute("UPDATE lots SET used_up_on = ? WHERE key = ? AND lot = ?", (self.today, key, lot))

    def weigh(self, number: str, key: str, mass: float, unit: str = "g", *, lot: str | None = None,
              where: str | None = None, portion: str | None = None, by: str | None = None,
              anyway: bool = False) -> None:
        """Write down what was really weighed of a row. A row may be weighed from several lots, one call each.

        Parameters
        ----------
        number : str
            Of the batch. [text]
        key : str
            Of the row, as in the weigh list. [key]
        mass : float
            As weighed; it replaces what was written for this lot before. [unit]
        unit : str
            g, kg, oz or lb. [unit]
        lot : str, optional
            That it was taken from; the planned one if not given. [text]
        where, portion : str, optional
            Of the row, where `key` is in several. [text]
        by : str, optional
            Who weighed. [text]
        anyway : bool
            Also if the lot has less left. [yes or no]

        Raises
        ------
        ShelfError : no such batch or row, several rows, or the lot has too little left.
        """
        mass_g, rows = grams(mass, unit), self._rows_of(self.plan_of(number)[1])
        fits = [place for place in rows if place[3] == key and where in (None, place[1])
                and portion in (None, place[2])]
        if not fits:
            raise ShelfError(f'Batch "{number}" does not weigh "{key[:60]}"'
                             f'{" there" if where or portion else ""}. It weighs '
                             f"{', '.join(dict.fromkeys(place[3] for place in rows))}.")
        if len(fits) > 1:
            places = "; ".join(f"where {place[1]}" + (f", portion {place[2]}" if place[2] else "") for place in fits)
            raise ShelfError(f'"{key}" is in several rows of batch "{number}": give where and portion. They are: '
                             f"{places}.")
        place, bought = fits[0], rows[fits[0]].key
        by = None if by is None else _line(by, "Who weighed")
        taken = _line(lot, "The lot") if lot is not None else place[4]
        with self.file.writing() as db:
            db.execute("INSERT OR REPLACE INTO weighings VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                       (number, *place, taken, mass_g, self.today, by))
            short = next((left for left in self.stock(bought) if left.lot == taken and left.left_g < -_ENOUGH), None)
            gone = db.execute("SELECT used_up_on FROM lots WHERE key = ? AND lot = ? AND used_up_on < ?",
                              (bought, taken, self.today)).fetchone()
            if short is not None and not anyway:
                raise ShelfError(f'Lot "{taken}" of {bought} does not have so much: {-short.left_g:.6g} g are missing. '
                                 "Was another lot weighed? Give it, or say anyway.")
            if gone is not None and mass_g > 0 and not anyway:
                raise ShelfError(f'Lot "{taken}" of {bought} was marked as used up on {gone[0]}. Give the lot that was '
                                 "weighed, or say anyway.")

    def record(self, number: str, stage: str, client: Client, **more: Any) -> dict[str, Any]:
        """Ask the service about the batch as weighed, and keep its answer.

        Parameters
        ----------
        number : str
            Of the batch. [text]
        stage : str
            As for `client.actuals`: fats, lye_made, in_pot, poured, cut. [word]
        client : Client
            Of the service. [client]
        **more
            What only you know, as for `client.actuals`: bars, weighings, rescue_with, mix, record, locale. [as there]

        Returns
        -------
        dict : the reply. [as in JSON]

        Raises
        ------
        ShelfError : no such batch, or what belongs to a plan comes with it.
        ClientError : the service refuses it; a plan that its data no longer make has another identity.
        """
        body, reply = self.plan_of(number)
        foreign = [name for name in more if name not in _ONLY_YOU_KNOW]
        if foreign:
            raise ShelfError(f'A record of batch "{number}" is of its own plan and weighings: leave out '
                             f"{', '.join(foreign)}. It may have {', '.join(_ONLY_YOU_KNOW)}.")
        weighed, written = [], self.file.rows("SELECT * FROM weighings WHERE number = ? ORDER BY rowid", (number,))
        for (kind, where, portion, key, planned_lot), parts in _weighings(written).get(number, {}).items():
            row = next(row for row in reply["weigh_list"] if _place(row) == (kind, where, portion, key, planned_lot))
            total = sum(part.mass_g for part in parts) / _GRAMS[row["unit"]]
            weighed.append({"kind": kind, "where": where, "key": key, "mass": total,
                            **({"portion": portion} if portion else {}),
                            **({"lot": planned_lot} if planned_lot else {})})
        answer: dict[str, Any] = json.loads(client.form("actuals", "json", _text({
            "plan": body, "identity": reply["identity"], "data_version": reply["meta"]["data_version"], "stage": stage,
            "weighed": weighed, **more}).encode()))
        with self.file.writing() as db:
            db.execute("INSERT OR REPLACE INTO records VALUES (?, ?, ?, ?)",
                       (number, stage, self.today, _text(answer)))
            bars = more.get("bars", {}).get("count") if isinstance(more.get("bars"), Mapping) else None
            if bars is not None:
                db.execute("UPDATE batches SET bars_count = ? WHERE number = ?", (bars, number))
        return answer

    def lots(self) -> list[LotOnShelf]:
        """All lots, as received. [lots]"""
        return [LotOnShelf(row["key"], row["lot"], row["mass_g"], row["received_on"], row["best_before"],
                           row["used_up_on"]) for row in self.file.rows("SELECT * FROM lots ORDER BY key, lot")]

    def uses(self) -> list[Use]:
        """What every batch took of which lot. [uses]"""
        weighed = _weighings(self.file.rows("SELECT * FROM weighings ORDER BY rowid"))
        planned = {row["identity"]: self._rows_of(json.loads(row["reply"]))
                   for row in self.file.rows("SELECT identity, reply FROM plans")}
        batches = [BatchRows(row["number"], row["identity"], row["made_on"], row["bars_count"],
                             planned[row["identity"]], weighed.get(row["number"], {}))
                   for row in self.file.rows("SELECT * FROM batches ORDER BY made_on, rowid")]
        return uses_of(batches, self.lots())

    def stock(self, key: str | None = None) -> list[LotLeft]:
        """What is left of each lot after all batches, the oldest first (`key`: of one ingredient only). [g]"""
        return [left for left in left_of(self.lots(), self.uses(), today=self.today) if key in (None, left.key)]

    def recall(self, lot: str, key: str | None = None) -> list[Use]:
        """Every batch a lot went into, with its bars.

        Parameters
        ----------
        lot : str
            The supplier's number. [text]
        key : str, optional
            Of the ingredient, if two suppliers use the same number. [key]

        Returns
        -------
        list of Use : those that are assumed come with the rest: a recall that is too wide costs bars, one that is too
            narrow harms people.

        Raises
        ------
        ShelfError : neither a lot nor a batch has that number.
        """
        found = [use for use in self.uses() if use.lot == lot and key in (None, use.key)]
        if not found and not any(one.lot == lot for one in self.lots()):
            raise ShelfError(f'No lot "{lot[:60]}" is on the shelf, and no batch names it.')
        return found

    def at_hand(self) -> list[dict[str, Any]]:
        """What is left of each ingredient, as `at_hand` of `client.purchases`; lots past their day are left out. [g]"""
        sums: dict[str, float] = {}
        for left in self.stock():
            if not left.past and left.left_g > _ENOUGH:
                sums[left.key] = sums.get(left.key, 0.0) + left.left_g
        return [{"key": key, "mass": mass_g} for key, mass_g in sums.items()]

    def remake_body(self, name: str) -> dict[str, Any]:
        """The body of an old plan with today's lots, and with `compare_to` of its time.

        Parameters
        ----------
        name : str
            Number of a batch, or identity of a plan. [text]

        Returns
        -------
        dict : for `client.batches`. A fat, alkali or addition that names a lot gets the oldest lot of its key that has
            something left and is not past, and what that lot's certificate says. [as in JSON]

        Raises
        ------
        ShelfError : no such batch and no such plan.
        """
        found = self.file.rows("SELECT body, reply, words FROM plans LEFT JOIN batches ON number = ?1 WHERE "
                               "plans.identity = coalesce(batches.identity, ?1)", (name,))
        if not found:
            raise self._not_here(name)
        body, reply = json.loads(found[0]["body"]), json.loads(found[0]["reply"])
        if found[0]["words"] is not None:
            body = _with_words(body, json.loads(found[0]["words"]))
        certificates = {(row["key"], row["lot"]): json.loads(row["certificate"]) for row in self.file.rows(
            "SELECT key, lot, certificate FROM lots WHERE certificate IS NOT NULL")}
        bought = {(row["kind"], row[field], row.get("lot", "")): row["buy"]
                  for field in ("name", "key") for row in reply["weigh_list"] if "buy" in row}
        oldest: dict[str, LotLeft] = {}
        for left in self.stock():
            if left.left_g > _ENOUGH and not left.past:
                oldest.setdefault(left.key, left)
        for kind, entry in _entries_with_lots(body):
            called = next((entry[field] for field in ("fat", "alkali", "name") if field in entry), "")
            key = bought.get((kind, called, entry["lot"]))
            new = None if key is None else oldest.get(key)
            if key is not None and new is not None and new.lot != entry["lot"]:
                entry["lot"] = new.lot
                entry.update(certificates.get((key, new.lot), {}))
        body.pop("batch_number", None)
        return {**body, "resolved": True, "compare_to": reply["resolved"]}

    @staticmethod
    def _rows_of(reply: Mapping[str, Any]) -> dict[Place, PlannedRow]:
        """Rows that come out of a lot: what is bought, and how much. [g]"""
        return {_place(row): PlannedRow(row["buy"], row["weigh"] * _GRAMS[row["unit"]],
                                        row["weigh"] / row["take"] if row.get("take") else 1.0)
                for row in reply["weigh_list"] if "buy" in row and row["unit"] in _GRAMS}


def _with_words(found: Mapping[str, Any], words: Mapping[str, Any]) -> dict[str, Any]:
    """A body or a reply with the words of a batch in place of those of the first batch of its plan."""
    return {**{name: value for name, value in found.items() if name not in _WORDS}, **words}


def _weighings(rows: Iterable[sqlite3.Row]) -> dict[str, dict[Place, list[Weighed]]]:
    """What was weighed, by batch and row."""
    found: dict[str, dict[Place, list[Weighed]]] = {}
    for row in rows:
        place = (row["kind"], row["place"], row["portion"], row["key"], row["planned_lot"])
        found.setdefault(row["number"], {}).setdefault(place, []).append(Weighed(row["lot"], row["mass_g"]))
    return found


def _place(row: Mapping[str, Any]) -> Place:
    return row["kind"], row["where"], row.get("portion", ""), row["key"], row.get("lot", "")


def _entries_with_lots(body: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    recipe = body.get("recipe", {})
    lists = [("fat", recipe.get("fats", ())), ("alkali", recipe.get("alkalis", ())),
             ("acid", recipe.get("acids", ())), ("liquid", recipe.get("liquids", ())),
             ("addition", body.get("additions", ()))]
    lists += [("addition", portion.get("additions", ())) for portion in body.get("portions", ())]
    return [(kind, entry) for kind, entries in lists for entry in entries if entry.get("lot")]


def _text(found: Any) -> str:
    return json.dumps(found, ensure_ascii=False, separators=(",", ":"), default=str)
