"""What if: one calculation for several values of a field, or of two, as a table of any figures."""

from __future__ import annotations

import csv
import dataclasses
import io
import typing
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product
from typing import TYPE_CHECKING, Any

from kettlewright_client.body import plain
from kettlewright_client.contract import request_schema, schema_of
from kettlewright_client.errors import ClientError
from kettlewright_client.html import table_html
from kettlewright_client.keywords import nearest
from kettlewright_client.operations import OPERATIONS
from kettlewright_client.record import frame_of

if TYPE_CHECKING:
    from pandas import DataFrame

__all__ = ["Plan", "Sweep", "SweepField", "plan_of"]

SweepField = str | Mapping[str, Iterable[Any]]
_MOST_ROWS = 10_000
_PROBLEM = "problem"


@dataclasses.dataclass(frozen=True)
class Sweep:
    """The table of a sweep.

    Parameters
    ----------
    fields, figures : tuple of str
        Paths of what was varied, and of what was read from each reply. [words]
    rows : tuple of dict
        By path; a row without figures has the reason as `problem`, else "". Figures are in the units of the request.
        [as in the reply]
    """

    fields: tuple[str, ...]
    figures: tuple[str, ...]
    rows: tuple[Mapping[str, Any], ...]

    def __iter__(self) -> Iterator[Mapping[str, Any]]:
        return iter(self.rows)

    def __len__(self) -> int:
        return len(self.rows)

    def to_csv(self) -> str:
        """The table as CSV (RFC 4180). Lines end in CR LF: write it with newline=""."""
        text = io.StringIO(newline="")
        writer = csv.DictWriter(text, self._columns())
        writer.writeheader()
        writer.writerows({name: _cell(row[name]) for name in self._columns()} for row in self.rows)
        return text.getvalue()

    def to_frame(self) -> DataFrame:
        """The table for pandas. Raises `ClientError` if pandas is not installed."""
        return frame_of(self.rows, self._columns())

    def _columns(self) -> tuple[str, ...]:
        return (*self.fields, *self.figures, _PROBLEM)

    def _repr_html_(self) -> str:
        return table_html(self._columns(), [[_cell(row[name]) for name in self._columns()] for row in self.rows])


@dataclasses.dataclass(frozen=True)
class Plan:
    """A sweep before it runs.

    Parameters
    ----------
    fields, figures : tuple of str
        Paths. [words]
    points : list of tuple
        The values of the fields for each row. [as in the request]
    bodies : list of dict
        The request for each row. [as in JSON]
    """

    fields: tuple[str, ...]
    figures: tuple[str, ...]
    points: list[tuple[Any, ...]]
    bodies: list[dict[str, Any]]

    def table(self, found: Sequence[Any]) -> Sweep:
        """The table of the replies.

        Parameters
        ----------
        found : sequence
            For each body its result or its exception. [results]

        Returns
        -------
        Sweep
        """
        rows = []
        for point, one in zip(self.points, found, strict=True):
            row = dict(zip(self.fields, point, strict=True))
            problem = _reason(one) if isinstance(one, ClientError) else ""
            for path in self.figures:
                row[path], missing = (None, "") if problem else _read(one, path)
                problem = problem or missing
            rows.append({**row, _PROBLEM: problem})
        return Sweep(self.fields, self.figures, tuple(rows))


def plan_of(operation: str, body: Mapping[str, Any], field: SweepField, values: Iterable[Any] | None,
            figures: Sequence[str]) -> Plan:
    """Check a sweep and make its requests.

    Parameters
    ----------
    operation : str
        Such as "batches". [word]
    body : mapping
        The arguments of that method. [as in JSON]
    field : str or mapping
        Path of the field to vary, such as "recipe.superfat_pct"; or values by path, for every combination. [words]
    values : iterable, optional
        Values of the field, if `field` is a path. [as in the request]
    figures : sequence of str
        Paths in the reply, such as "cuts.bars.count". [words]

    Returns
    -------
    Plan

    Raises
    ------
    ClientError : a path is unknown; the message has the nearest name.
    """
    schema = request_schema(operation)
    if schema is None:
        raise ClientError(f'"{operation}" takes no body, so there is nothing to vary.')
    if isinstance(field, str) != (values is not None):
        raise ClientError("Give a field and its values, or one mapping of fields to values.")
    varied = {field: list(values or ())} if isinstance(field, str) else {path: list(one) for path, one in field.items()}
    if not figures or isinstance(figures, str):
        raise ClientError('figures is a list of paths, such as ["cuts.bars.count"].')
    start: dict[str, Any] = plain(dict(body))
    for path in varied:
        _check_field(schema, start, path)
    for path in figures:
        _check_figure(OPERATIONS[operation].result, path)
    points = list(product(*varied.values()))
    if not 0 < len(points) <= _MOST_ROWS:
        raise ClientError(f"The sweep has {len(points)} rows; 1 to {_MOST_ROWS:,} are possible.")
    bodies = []
    for point in points:
        made = start
        for path, value in zip(varied, point, strict=True):
            made = _with(made, path.split("."), value)
        bodies.append(made)
    return Plan(tuple(varied), tuple(figures), points, bodies)


def _check_field(schema: Mapping[str, Any], value: Any, path: str) -> None:
    for number, name in enumerate(path.split(".")):
        schema = schema_of(schema, value)
        if "items" in schema:
            at = _position(value if isinstance(value, list) else [], name, path)
            schema, value = schema["items"], value[at]
            continue
        known = schema.get("properties", {})
        if name not in known:
            raise _unknown("field", path, number, known)
        schema, value = known[name], value.get(name) if isinstance(value, Mapping) else None


def _check_figure(kind: Any, path: str) -> None:
    for number, name in enumerate(path.split(".")):
        if typing.get_origin(kind) is tuple:  # an item; which ones there are is known from the reply
            kind = typing.get_args(kind)[0]
            continue
        if isinstance(kind, str):  # the recipe as you would send it
            return
        known = {one.name: one.type for one in dataclasses.fields(kind)} if dataclasses.is_dataclass(kind) else {}
        if name not in known:
            raise _unknown("figure", path, number, known)
        kind = next((one for one in typing.get_args(known[name]) if one is not type(None)), known[name]) \
            if typing.get_origin(known[name]) is not tuple else known[name]
    if dataclasses.is_dataclass(kind) or typing.get_origin(kind) is tuple:
        raise ClientError(f'The figure "{path}" is not a single value; go on to one of its parts.')


def _unknown(what: str, path: str, number: int, known: Iterable[str]) -> ClientError:
    parts, names = path.split("."), [name for name in known if name not in ("raw", "request_id")]
    like = nearest(parts[number], names)
    better = ".".join([*parts[:number], like, *parts[number + 1:]])
    return ClientError(f'There is no {what} "{path}": "{parts[number]}" is unknown' + (
        f', did you mean "{better}"?' if like else f". Known there: {', '.join(names) or 'nothing'}."))


def _position(items: Sequence[Any], name: str, path: str) -> int:
    """Which item of a list is meant, by its number from 0, or by its key or name."""
    if name.isdecimal() and int(name) < len(items):
        return int(name)
    for at, item in enumerate(items):
        words = [item.get(key) if isinstance(item, Mapping) else getattr(item, key, None)
                 for key in ("key", "name", "fat", "alkali", "acid")]
        if name in words:
            return at
    raise ClientError(f'"{path}": no item is called or numbered "{name}"; there are {len(items)}, from 0.')


def _with(body: Any, way: list[str], value: Any) -> Any:
    """The body with another value at a place; what is not on the way is shared."""
    if not way:
        return plain(value)
    if isinstance(body, list):
        at = _position(body, way[0], ".".join(way))
        return [*body[:at], _with(body[at], way[1:], value), *body[at + 1:]]
    inside = body if isinstance(body, Mapping) else {}
    return {**inside, way[0]: _with(inside.get(way[0]), way[1:], value)}


def _read(found: Any, path: str) -> tuple[Any, str]:
    """The figure, and why there is none."""
    done: list[str] = []
    for name in path.split("."):
        try:
            found = found[_position(found, name, path)] if isinstance(found, tuple) else \
                found[name] if isinstance(found, Mapping) else getattr(found, name)
        except (ClientError, KeyError):
            found = None
        done.append(name)
        if found is None:
            return None, f"the reply has no {'.'.join(done)}"
    return found, ""


def _reason(error: ClientError) -> str:
    faults = getattr(error, "errors", ())
    return str(faults[0].detail if faults else error).splitlines()[0]


def _cell(value: Any) -> str:
    if isinstance(value, str):  # a spreadsheet must not take a text for a formula
        return f"'{value}" if value.startswith(("=", "+", "-", "@", "\t", "\r")) else value
    return "" if value is None else repr(value) if isinstance(value, float) else str(value)
