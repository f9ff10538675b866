"""HTML for notebooks: a table of fields, a weigh list, cautions, a picture. Every text is escaped."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import Any

__all__ = ["figure", "object_html", "plan_html", "table_html"]

_ROWS_MAX = 200
_LEFT = "text-align:left"


def object_html(title: str, fields: Mapping[str, Any]) -> str:
    """A table of fields.

    Parameters
    ----------
    title : str
        Its heading. [text]
    fields : mapping
        Values by name; lists and objects are shown as their short repr. [as in the result]

    Returns
    -------
    str
    """
    rows = [(name, _shown(value)) for name, value in fields.items() if value is not None and value != ()]
    return f"<p><b>{escape(title)}</b></p>{_table((), rows)}"


def plan_html(title: str, weigh_list: Sequence[Any], cautions: Iterable[Any], picture: str) -> str:
    """A plan: picture, weigh list and cautions.

    Parameters
    ----------
    title : str
        Its heading. [text]
    weigh_list, cautions : sequence
        Of the plan. [rows]
    picture : str
        HTML of the picture, or a sentence why there is none. [HTML]

    Returns
    -------
    str
    """
    rows = [(f"{row.where} {row.portion or ''}".rstrip(), row.name + (f", {row.form}" if row.form else ""),
             weighed(row), row.unit) for row in weigh_list]
    warned = "".join(f"<li><b>{escape(one.severity)}</b>: {escape(one.message)}</li>" for one in cautions)
    return (f"<p><b>{escape(title)}</b></p>{picture}"
            f"{_table(('where', 'what', 'weigh', 'unit'), rows)}" + (f"<ul>{warned}</ul>" if warned else ""))


def weighed(row: Any) -> str:
    """The figure of a weigh `row` with the decimals of its scale; for each mix, or of a dilution."""
    decimals = len(f"{row.step:.9f}".rstrip("0").partition(".")[2])
    if row.take is not None:
        return f"{row.take:.{decimals}f} of the dilution"
    return f"{row.weigh:.{decimals}f}" if row.each_mix is None else f"{row.each_mix:.{decimals}f} for each mix"


def table_html(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table with a `head` and `rows` of texts."""
    return _table(head, rows)


def figure(svg: str) -> str:
    """A picture (`svg`) as HTML. Inside img no script of it can run."""
    data = b64encode(svg.encode("utf-8")).decode("ascii")
    return (f'<img alt="Cut face" style="max-width:100%;height:auto;background:#fff" '
            f'src="data:image/svg+xml;base64,{data}">')


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    top = "<tr>" + "".join(f'<th style="{_LEFT}">{escape(word)}</th>' for word in head) + "</tr>" if head else ""
    body = "".join("<tr>" + "".join(f'<td style="{_LEFT}">{escape(str(cell))}</td>' for cell in row) + "</tr>"
                   for row in rows[:_ROWS_MAX])
    more = f"<p>and {len(rows) - _ROWS_MAX} more</p>" if len(rows) > _ROWS_MAX else ""
    return f"<table>{top}{body}</table>{more}"


def _shown(value: Any) -> str:
    if isinstance(value, tuple):
        plain = all(isinstance(one, str | int | float) for one in value)
        return ", ".join(map(str, value)) if plain else f"{len(value)} items"
    return "{...}" if isinstance(value, Mapping) else str(value)
