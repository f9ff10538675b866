"""A response in the requested form: JSON, a table as CSV, one figure as text, or another form."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any
from urllib.parse import quote

from flask import Response, request
from marshmallow import ValidationError
from werkzeug.datastructures import MIMEAccept
from werkzeug.http import parse_accept_header

from kettlewright.api.door.address import Pairs
from kettlewright.api.door.encoding import encoded
from kettlewright.api.door.field_errors import errors_at
from kettlewright.api.door.operations import JSON_TYPE, Operation
from kettlewright.api.door.picking import pick
from kettlewright.api.door.problems import Problem, in_words
from kettlewright.api.door.strict_json import UnreadableBody
from kettlewright.api.door.tables import as_csv
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.names import or_nearest

__all__ = ["CARD", "PROBLEM", "ReplyForm", "cached", "may_be_kept", "not_changed", "problem_reply", "read_form",
           "reply_in", "single"]

PROBLEM = "problem"
"""As `field`: what is wrong with the request, instead of a figure. [word]"""
CARD = "card"
"""As `form`: the small form of a page. [word]"""
_WORDS = ("format", "form", "field", "table")


@dataclass(frozen=True, slots=True)
class ReplyForm:
    """What of a reply is wanted, and how.

    Parameters
    ----------
    form : str
        json, csv, text, or a face of the operation. [word]
    field : str
        Path of the one figure of a text. [path]
    table : str
        Name of the table of a CSV. [name]
    card : bool
        The small form of a page. [yes or no]
    """

    form: str
    field: str = ""
    table: str = ""
    card: bool = False


def single(pairs: Pairs) -> Pairs:
    """The pairs of an address in which no key is repeated (`pairs`). [text]

    Raises
    ------
    ValidationError : a key appears twice.
    """
    keys = [key for key, _ in pairs]
    doubled = {key for key in keys if keys.count(key) > 1}
    if doubled:
        raise errors_at((key for key in keys if key in doubled), "conflict", "appears twice in the address; give it "
                        "once.")
    return pairs


def read_form(found: Operation, pairs: Pairs) -> tuple[ReplyForm, Pairs]:
    """The requested form, and what else the address says.

    Parameters
    ----------
    found : Operation
        The operation. [operation]
    pairs : tuple of (str, str)
        Keys and values of the address. [text]

    Returns
    -------
    ReplyForm, and the other pairs

    Raises
    ------
    ValidationError : a form or a table that is not there, a text without its field.
    Problem : 406 where Accept takes none of the forms.
    """
    words = dict(single(tuple(pair for pair in pairs if pair[0] in _WORDS)))
    rest = tuple(pair for pair in pairs if pair[0] not in _WORDS)
    field, table = words.get("field"), words.get("table")
    form, small = words.get("format"), words.get("form")
    paper = _on_cards(found, small)
    if form is None:
        form = paper if paper is not None else "text" if field is not None else "csv" if table is not None \
            else _accepted(found)
    if form not in found.forms:
        wanted = "format" if "format" in words else "table"
        raise errors_at([wanted], "out_of_range", f'"{form[:40]}" is not one of {", ".join(found.forms)}.')
    if form == "text" and not field:
        raise errors_at(["field"], "missing", "is needed for text: it says which figure, such as field=meta.version.")
    for word, given, only in (("field", field, "text"), ("table", table, "csv"), ("form", small, paper)):
        if given is not None and form != only:
            raise errors_at([word], "conflict", f"belongs to format={only}; the requested format is {form}.")
    if form == "csv" and table is not None and table not in found.tables:
        raise errors_at(["table"], "out_of_range", f'"{table[:60]}" is not a table of this '
                         f"response.{or_nearest(table, found.tables)} Its tables: {', '.join(found.tables)}.")
    return ReplyForm(form, field or "", table or (next(iter(found.tables)) if form == "csv" else ""),
                     small is not None), rest


def _on_cards(found: Operation, small: str | None) -> str | None:
    """The form of the reply that is wanted as a card; None if no card is wanted."""
    if small is None:
        return None
    paper = next((word for word, face in found.faces.items() if face.card is not None), None)
    if paper is None:
        raise errors_at(["form"], "unknown_field", "is not known in this address; this response has no card.")
    if small != CARD:
        raise errors_at(["form"], "out_of_range", f'"{small[:40]}" is not known here; it is {CARD}.')
    return paper


def _accepted(found: Operation) -> str:
    """The first form that Accept takes; text needs its field."""
    header = request.environ.get("HTTP_ACCEPT")
    form = "json" if header is None else _preferred(header, tuple(found.forms.items()))
    if form is None:
        raise Problem(406, f"This answer comes as {', '.join(found.forms.values())}; the Accept header takes none of "
                      "them.")
    return form


@lru_cache(maxsize=256)  # a client sends the same header again and again
def _preferred(header: str, forms: tuple[tuple[str, str], ...]) -> str | None:
    """The word of the form that an Accept header prefers; None if it takes none (`forms`: words and media types)."""
    accepted = parse_accept_header(header, MIMEAccept)
    if not accepted.provided:
        return "json"
    words = {media_type: word for word, media_type in reversed(forms) if word != "text"}
    best = accepted.best_match([media_type for word, media_type in forms if word != "text"])
    if best is not None:
        return words[best]
    return "text" if accepted.best_match(["text/plain"]) else None


def reply_in(found: Operation, wanted: ReplyForm, document: dict[str, Any], tag: str | None = None) -> Response:
    """A reply in its form (`found`: the operation, `wanted`, `document`: the JSON reply, `tag`: of a reply to GET)."""
    reply = _formed(found, wanted, document)
    if found.file_name is not None and wanted.form != "text":
        name = f"{found.file_name(document)}{'-card' if wanted.card else ''}.{wanted.form}"
        # RFC 6266: letters beyond ASCII only in the second, which every browser prefers
        plain = name.encode("ascii", "replace").decode().replace("?", "_")
        reply.headers["Content-Disposition"] = f"inline; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}"
    return _kept(found, reply, tag)


def not_changed(found: Operation, wanted: ReplyForm, tag: str) -> Response:
    """A 304 for a caller that holds the reply (`found`: the operation, `wanted`: its form, `tag`: of the reply).

    A cache puts its headers in place of those it has stored, so the policy must be the same as with the reply.
    """
    reply = Response(status=304)
    del reply.headers["Content-Type"]
    face = found.faces.get(wanted.form)
    if face is not None and face.policy is not None:
        reply.headers["Content-Security-Policy"] = face.policy()
    return _kept(found, reply, tag)


def problem_reply(found: Operation, make: Callable[[], object], tag: str | None = None) -> Response:
    """What is wrong with a request, as text with status 200; "none" if it is valid.

    A cell of a spreadsheet never shows the body of a 4xx, so its maker would not learn what to change.

    Parameters
    ----------
    found : Operation
        The operation. [operation]
    make : callable
        Makes the JSON reply. [function]
    tag : str, optional
        Of a reply to GET. [text]

    Returns
    -------
    Response

    Raises
    ------
    Exception : what `make` raises, if it is no error of the request.
    """
    try:
        make()
        said = "none"
    except (Problem, UnreadableBody, ValidationError, DomainError, DomainErrors) as error:
        said = in_words(error)
    return _kept(found, Response(said, mimetype="text/plain"), tag)


def may_be_kept(found: Operation) -> bool:
    """Whether a caller may keep the reply of an operation and ask whether it has changed (`found`)."""
    return found.method == "GET" and found.group != "service"


def _kept(found: Operation, reply: Response, tag: str | None) -> Response:
    if not may_be_kept(found):
        reply.headers["Cache-Control"] = "no-store"
        return reply
    if tag is not None:
        reply.set_etag(tag)
    return cached(reply, private=found.link is not None)


def _formed(found: Operation, wanted: ReplyForm, document: Mapping[str, Any]) -> Response:
    if wanted.form == "json":
        return Response(encoded(document), content_type=JSON_TYPE)
    if wanted.form == "text":
        return Response(pick(document, wanted.field), mimetype="text/plain")
    if wanted.form == "csv":
        return Response(as_csv(found.tables[wanted.table], document),
                        content_type="text/csv; charset=utf-8; header=present")
    face = found.faces[wanted.form]
    render = face.card if wanted.card and face.card is not None else face.render
    reply = Response(render(document), mimetype=face.media_type)
    if face.policy is not None:
        reply.headers["Content-Security-Policy"] = face.policy()
    return reply


def cached(reply: Response, *, private: bool = False) -> Response:
    """A GET reply that caches may keep, with a strong ETag, by default of its content, and 304 if the caller has it.

    Parameters
    ----------
    reply : Response
        As made. [reply]
    private : bool
        Its address holds a recipe: no shared cache keeps it, and the maker's own asks again each time, so that a
        figure which was put right is never outlived by a wrong one. [yes or no]

    Returns
    -------
    Response
    """
    reply.headers["Cache-Control"] = "private, no-cache" if private else "public, max-age=3600"
    reply.vary.add("Accept")
    reply.add_etag()
    return reply.make_conditional(request)  # type: ignore[return-value]  # werkzeug types it as its own Response
