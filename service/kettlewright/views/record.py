"""The record of a batch as it was made (HTML): to print, to sign by hand and to keep."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from kettlewright.languages import in_language_of_response, translated
from kettlewright.said import Said
from kettlewright.views.bench import cautions_by_place
from kettlewright.views.identity_code import identity_code
from kettlewright.views.styles import style_of
from kettlewright.views.templating import template

__all__ = ["batch_record"]

_VESSELS = {"jug": Said("Jug"), "pot": Said("Pot"), "jar": Said("Jars"), "bucket": Said("Buckets"),
            "mould": Said("Mould"), "aside": Said("Kept back")}


@in_language_of_response
def batch_record(reply: Mapping[str, Any]) -> str:
    """The record of a batch.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/batches/actuals. [as in JSON]

    Returns
    -------
    str : HTML without scripts or external resources
    """
    record = reply["record"]
    vessels = [(translated(name), [row for row in reply["difference"] if row["where"] == where])
               for where, name in _VESSELS.items()]
    placed = cautions_by_place(reply)
    return str(template("batch_record.html.j2").render(
        reply=reply, record=record, vessels=[(name, rows) for name, rows in vessels if rows],
        cautions=[one for place in placed.values() for one in place if one["severity"] in ("danger", "warning")],
        code=Markup(identity_code({**record})), style=Markup(style_of("batch_sheet.css"))))
