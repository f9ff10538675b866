"""What every result can do: a short repr, a table in a notebook, `to_dict`, `to_frame`, and `need`."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, Any

from kettlewright_client.errors import ClientError
from kettlewright_client.html import object_html

if TYPE_CHECKING:
    from pandas import DataFrame

__all__ = ["Record", "Result", "frame_of"]

_SHOWN = 160  # characters of a repr
_OURS = frozenset({"raw", "request_id"})


@dataclasses.dataclass(frozen=True, kw_only=True, repr=False)
class Record:
    """An object of a reply. It never changes, and equal ones are equal keys of a dict or a set."""

    def __repr__(self) -> str:
        parts = [f"{name}={shown}" for name, value in self._fields().items() if (shown := _short(value))]
        text = f"{type(self).__name__}({', '.join(parts)})"
        return text if len(text) <= _SHOWN else f"{text[:_SHOWN - 4]}...)"

    def _repr_html_(self) -> str:
        return object_html(type(self).__name__, self._fields())

    def to_dict(self) -> dict[str, Any]:
        """As in the reply, with the fields that this class has: dicts, lists, texts and numbers.

        An optional field that the reply lacked is left out.
        """
        kind: Any = type(self)
        absent = _defaults(kind)
        return {name: _plain(value) for name, value in self._fields().items()
                if not (name in absent and value == absent[name])}

    def _fields(self) -> dict[str, Any]:
        return {one.name: getattr(self, one.name) for one in dataclasses.fields(self) if one.name not in _OURS}

    if not TYPE_CHECKING:  # each class that has optional parts declares their types
        def need(self, part: str) -> Any:
            """An optional `part` that you know is there. Raises `ClientError` if it is not."""
            found = getattr(self, part, None)
            if found is None:
                if part not in self._fields():
                    raise ClientError(f'{type(self).__name__} has no field "{part}". Fields are '
                                      f"{', '.join(self._fields())}.")
                raise ClientError(f"The reply has no {part} here ({type(self).__name__}.{part}): "
                                  "the request did not ask for it, or it does not apply.")
            return found


@dataclasses.dataclass(frozen=True, kw_only=True, repr=False)
class Result(Record):
    """A whole reply."""

    raw: Mapping[str, Any] = dataclasses.field(hash=False, compare=False)
    """The reply as it came, also with fields of a newer service."""

    request_id: str = dataclasses.field(default="", compare=False)
    """With this an operator finds the request in the log."""

    def to_frame(self, table: str = "") -> DataFrame:
        """A list of the reply as a table of pandas.

        Parameters
        ----------
        table : str
            Name of the list, such as "weigh_list" or "cuts.offcuts"; if not given, the weigh list, else the first list
            of objects. [word]

        Returns
        -------
        DataFrame : a row for each item, a column for each field; objects inside become columns such as mass.min.

        Raises
        ------
        ClientError : there is no such list, or pandas is not installed.
        """
        return frame_of([_flat(row.to_dict()) for row in self._rows(table)])

    def _rows(self, table: str) -> tuple[Record, ...]:
        tables = {name: value for name, value in self._fields().items()
                  if isinstance(value, tuple) and value and isinstance(value[0], Record)}
        if not table:
            table = "weigh_list" if "weigh_list" in tables else next(iter(tables), "")
        found: Any = self
        for name in table.split("."):
            found = getattr(found, name, None)
        if not isinstance(found, tuple) or not all(isinstance(row, Record) for row in found):
            raise ClientError(f'{type(self).__name__} has no list "{table}". Lists are {", ".join(tables) or "none"}.')
        return found


def frame_of(rows: Sequence[Mapping[str, Any]], columns: Sequence[str] | None = None) -> DataFrame:
    """A table of pandas.

    Parameters
    ----------
    rows : sequence of mapping
        Values by column. [as in the reply]
    columns : sequence of str, optional
        Their order. [words]

    Returns
    -------
    DataFrame

    Raises
    ------
    ClientError : pandas is not installed.
    """
    try:
        from pandas import DataFrame
    except ImportError:
        raise ClientError("to_frame needs pandas: pip install pandas.") from None
    return DataFrame(list(rows), columns=None if columns is None else list(columns))


@cache
def _defaults(kind: Any) -> dict[str, Any]:
    return {one.name: one.default for one in dataclasses.fields(kind) if one.default is not dataclasses.MISSING}


def _plain(value: Any) -> Any:
    if isinstance(value, Record):
        return value.to_dict()
    return [_plain(one) for one in value] if isinstance(value, tuple) else value


def _flat(row: Mapping[str, Any], before: str = "") -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in row.items():
        found |= _flat(value, f"{before}{name}.") if isinstance(value, Mapping) else {before + name: value}
    return found


def _short(value: Any) -> str:
    if value is None or value == ():
        return ""
    if isinstance(value, tuple) and isinstance(value[0], Record):
        return f"<{len(value)} {type(value[0]).__name__}>"
    if isinstance(value, Record):
        return f"<{type(value).__name__}>"
    if isinstance(value, Mapping):
        return "{...}"
    text = repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."
