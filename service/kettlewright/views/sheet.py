"""The batch sheet (HTML) to hang over the bench, and the card: one file, no scripts, no external resources."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from kettlewright.languages import in_language_of_response, translated
from kettlewright.names import slug
from kettlewright.reference import all_sources
from kettlewright.views.bench import (
    bottles_of,
    buckets_of,
    cautions_by_place,
    danger_keys,
    poured_in_another_order,
    rows_in,
)
from kettlewright.views.cutting_plan import cut_plan, pieces_in_words
from kettlewright.views.drawing import HATCHES
from kettlewright.views.identity_code import identity_code
from kettlewright.views.picture import MM_PER_UNIT, UNCOLOURED, cut_face, hatch_ink, on_paper
from kettlewright.views.strip import fade_strip
from kettlewright.views.styles import style_of
from kettlewright.views.templating import template

__all__ = ["batch_card", "batch_sheet"]

_MIX_COLUMNS = 4
_PLAN_TALL = 100.0  # 30 mm
_CARDS = (("small", 16), ("large", 40), ("full", math.inf))  # lines: weighings, and notes of so many letters
_NOTE_LINE = 45
_AT_THE_CUPS = frozenset({
    "fragrance-flammable", "dust", "dose-too-fine", "fragrance-limit-exceeded", "fragrance-limit-in-portion",
    "fragrance-limit-unknown", "natural-colour-stains", "colourant-status-unknown", "swatch-missed"})
_AT_THE_BUCKETS = frozenset({"thickens-fast", "borrowed-additions", "dispersion-oil-free"})




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


def _cautions(reply: Mapping[str, Any]) -> dict[str, list[dict[str, str]]]:
    """Cautions where the hand is: those of cups and buckets apart from those of the pot."""
    placed = cautions_by_place(reply, leave_out="poison-centre-number")
    for name, keys in (("cups", _AT_THE_CUPS), ("buckets", _AT_THE_BUCKETS)):
        placed[name] = [one for place in ("pot", "sifting") for one in placed[place] if one["key"] in keys]
    placed["pot"] = [one for one in placed["pot"] if one["key"] not in _AT_THE_CUPS | _AT_THE_BUCKETS]
    return placed


def _size_of_card(reply: Mapping[str, Any]) -> str:
    """Class of the smallest paper that a card fits on: A6, A5 or A4."""
    lines = len(reply["weigh_list"]) + sum(1 + len(note) // _NOTE_LINE for note in reply.get("notes", ()))
    return next(size for size, most in _CARDS if lines <= most)


def _shown(reply: Mapping[str, Any]) -> dict[str, Any]:
    """What sheet and card both show."""
    bars = reply["cuts"]["bars"] if reply["cuts"] else None
    return {"reply": reply, "jug": [row for row in rows_in(reply, "jug") if row["weigh"]],
            "pot": rows_in(reply, "pot"), "buckets": buckets_of(reply),
            "jars": {jar["key"]: jar for jar in reply["dispersions"]}, "aside": rows_in(reply, "aside"),
            "sprays": [row for row in rows_in(reply, "mould") if "portion" not in row],
            "pot_late": frozenset(name for step in reply["mixing_order"] if step["key"] is None
                                  and step["when"] == "at_pour" for name in step["additions"]),
            "pour_apart": poured_in_another_order(reply), "uncoloured": UNCOLOURED,
            "pieces": translated(pieces_in_words(bars, reply["units"]["length"])) if bars else ""}


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
        **_shown(reply), bottles=bottles_of(reply), jar_rows=rows_in(reply, "jar"), mixes=_mixes(reply),
        fade=reply.get("fade"),
        strip=Markup(fade_strip(reply["fade"])) if "fade" in reply else "",
        sources=_sources(reply["meta"]), code=Markup(identity_code(reply)), hatches_count=HATCHES,
        hatch_ink=hatch_ink, cautions=_cautions(reply), style=Markup(style_of("batch_sheet.css")),
        face=Markup(cut_face(reply, on_paper(len(reply["portions"])))),
        plan=Markup(cut_plan({**reply["cuts"], "units": reply["units"]}, tall_at_most=_PLAN_TALL,
                             mm_per_unit=MM_PER_UNIT))
        if reply["cuts"] else ""))


@in_language_of_response
def batch_card(reply: Mapping[str, Any]) -> str:
    """A card of a planned batch: its figures on one small page, for who has the cautions on the wall.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/batches. [as in JSON]

    Returns
    -------
    str : HTML; keys of dangers and warnings stay
    """
    return str(template("batch_card.html.j2").render(
        **_shown(reply), dangers=danger_keys(reply), size=_size_of_card(reply),
        style=Markup(style_of("batch_card.css"))))
