"""The batch sheet (HTML) to hang over the bench: one file, no scripts, no external resources."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from kettlewright.cautions import CATALOGUE, PLACES, SEVERITIES
from kettlewright.languages import in_language_of_response, translated
from kettlewright.names import slug
from kettlewright.reference import all_sources
from kettlewright.said import Said
from kettlewright.views.cutting_plan import cut_plan, pieces_in_words
from kettlewright.views.drawing import HATCHES
from kettlewright.views.figures import template
from kettlewright.views.identity_code import identity_code
from kettlewright.views.picture import UNCOLOURED, cut_face
from kettlewright.views.strip import fade_strip
from kettlewright.views.styles import style_of

__all__ = ["batch_sheet", "cautions_by_place", "rows_in"]

_WORDS = {"danger": Said("danger"), "warning": Said("warning"), "info": Said("info"), "always": Said("always")}
_MIX_COLUMNS = 4


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


def rows_in(reply: Mapping[str, Any], *vessels: str) -> list[dict[str, Any]]:
    """The rows of the weigh list in some vessels (`reply`, `vessels`: values of `where`). [rows]"""
    return [row for row in reply["weigh_list"] if row["where"] in vessels]


def _mixes(reply: Mapping[str, Any]) -> list[range]:
    """Numbers of the mixes in groups that fit the columns of the sheet; none if the batch is one mix."""
    count = reply["mixes"]["count"] if "mixes" in reply else 1
    return [] if count == 1 else [range(first, min(first + _MIX_COLUMNS, count + 1))
                                  for first in range(1, count + 1, _MIX_COLUMNS)]


def _sources(meta: Mapping[str, Any]) -> list[Mapping[str, str]]:
    """Title of each source of a response, and how it is known."""
    shared = {key for one in meta.get("from_coop", ()) if one["file"] == "certificates"
              for key in (f"certificate_{one['key']}", f"certificate_{one['key']}_{slug(one['lot'])}")}
    given = {one["key"]: {"title": one["title"],
                          "how_read": "from the co-op's data" if one["key"] in shared else "given in the request"}
             for one in meta.get("certificates", ())}
    known = all_sources()
    return [given[key] if key in given else {"title": known[key].title, "how_read": known[key].how_read}
            for key in meta["sources"]]


@in_language_of_response
def batch_sheet(reply: Mapping[str, Any]) -> str:
    """The batch sheet of a planned batch.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/batches. [as in JSON]

    Returns
    -------
    str : HTML, with the cut face in it
    """
    return str(template("batch_sheet.html.j2").render(
        reply=reply, jug=rows_in(reply, "jug"), pot=rows_in(reply, "pot"),
        buckets={portion["key"]: [row for row in reply["weigh_list"] if row.get("portion") == portion["key"]]
                 for portion in reply["portions"]},
        jars=rows_in(reply, "jar"), aside=rows_in(reply, "aside"),
        mixes=_mixes(reply), fade=reply.get("fade"),
        strip=Markup(fade_strip(reply["fade"])) if "fade" in reply else "",
        sprays=[row for row in rows_in(reply, "mould") if "portion" not in row],
        sources=_sources(reply["meta"]), code=Markup(identity_code(reply)),
        uncoloured=UNCOLOURED, hatches_count=HATCHES,
        cautions=cautions_by_place(reply, leave_out="poison-centre-number"),
        style=Markup(style_of("batch_sheet.css")), face=Markup(cut_face(reply)),
        plan=Markup(cut_plan({**reply["cuts"], "units": reply["units"]})) if reply["cuts"] else "",
        pieces=translated(pieces_in_words(reply["cuts"]["bars"], reply["units"]["length"])) if reply["cuts"] else ""))
