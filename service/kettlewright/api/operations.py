"""Operations: a route, its schemas and its documentation, told once.

    @operation("POST", "/v1/cuts", name="cuts", takes=CutsRequest, gives=CutsReply, summary="...")
    def cuts(block: Block, bar: BarCut, **rest: Any) -> object:
        return answer("cuts", ...)

The view gets what the request's schema loads and returns what the reply's schema dumps; both run under the units of
the request. Nothing is stored and no clock is read: the same body gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from flask import Flask, Response, current_app, json, request
from marshmallow import Schema, ValidationError

from kettlewright.api.fields import Part
from kettlewright.api.own_fats import OwnFat, using_own_fats
from kettlewright.api.problems import Problem
from kettlewright.api.schemas.envelope import UnitsChoice
from kettlewright.api.schemas.own_fats import OwnFatAsked
from kettlewright.api.strict_json import read_object
from kettlewright.api.units import Units, default_units, using
from kettlewright.settings import Settings

__all__ = ["OPERATIONS", "Face", "Operation", "operation", "register_operations", "run"]

JSON_TYPE = "application/json"


@dataclass(frozen=True, slots=True)
class Face:
    """Another form of a reply.

    Parameters
    ----------
    media_type : str
        Its type. [text]
    render : callable
        Makes it of the JSON reply. [function]
    policy : callable, optional
        Content security policy it needs beyond the usual. [function]
    """

    media_type: str
    render: Callable[[Mapping[str, Any]], str]
    policy: Callable[[], str] | None = None


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation of the contract.

    Parameters
    ----------
    method, path, name, summary, description, tag : str
        As in the document; `name` is the operation id. [text]
    takes, gives, query : Schema, optional
        Body, reply, query. [schemas]
    view : callable
        What it does. [function]
    faces : mapping
        Other forms of the reply, by the word of `format`. [faces]
    statuses : tuple of int
        Problems it can answer. [codes]
    named_by_body : bool
        The view gets the body too, as `asked`: what it replies is named after it. [yes or no]
    governed_by : str
        Part of the body whose units and own fats govern all of it; empty where they stand at top level. [key]
    """

    method: str
    path: str
    name: str
    summary: str
    description: str
    tag: str
    takes: Schema | None
    gives: Schema
    query: Schema | None
    view: Callable[..., Any]
    faces: Mapping[str, Face] = field(default_factory=dict)
    statuses: tuple[int, ...] = ()
    named_by_body: bool = False
    governed_by: str = ""

    @property
    def forms(self) -> dict[str, str]:
        """Media types by the word of `format`. [text]"""
        return {"json": JSON_TYPE, **{word: face.media_type for word, face in self.faces.items()}}


OPERATIONS: dict[str, Operation] = {}
_UNITS, _OWN_FAT = UnitsChoice(), OwnFatAsked()


def operation(method: str, path: str, *, name: str, gives: type[Schema], summary: str, description: str = "",
              tag: str = "plan", takes: type[Schema] | None = None, query: type[Schema] | None = None,
              faces: Mapping[str, Face] | None = None, statuses: tuple[int, ...] = (),
              named_by_body: bool = False, governed_by: str = "") -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Register a view as an operation (see `Operation` for the arguments)."""
    def register(view: Callable[..., Any]) -> Callable[..., Any]:
        of_method = (400, 406, 413, 414, 415, 422) if method == "POST" else (406, 414, 422)
        OPERATIONS[name] = Operation(
            method, path, name, summary, description, tag, takes() if takes else None, gives(),
            query() if query else None, view, dict(faces or {}), tuple(sorted({*of_method, *statuses})),
            named_by_body, governed_by)
        return view
    return register


def run(found: Operation, body: Mapping[str, Any], parts: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """An operation as a pure function of its body.

    Parameters
    ----------
    found : Operation
        Which one. [operation]
    body : mapping
        The JSON object (of a GET: its query). [as in JSON]
    parts : mapping, optional
        Parts of the path. [text]

    Returns
    -------
    dict : the JSON reply. [as in JSON]

    Raises
    ------
    ValidationError, DomainError, Faults : a wrong input.
    """
    schema = found.takes or found.query
    governing, its_schema = _governing(found, body, schema)
    units = _units_of(governing.get("units")) if found.takes else default_units
    with using(units), using_own_fats(_own_fats_of(governing, its_schema)):
        loaded = schema.load(body) if schema is not None else {}
        asked = {"asked": body} if found.named_by_body else {}
        dumped: dict[str, Any] = found.gives.dump(found.view(**loaded, **asked, **(parts or {})))
    return dumped


def _governing(found: Operation, body: Mapping[str, Any],
               schema: Schema | None) -> tuple[Mapping[str, Any], Schema | None]:
    """The object whose units and own fats govern a body, and its schema."""
    if not found.governed_by or schema is None:
        return body, schema
    part, given = schema.load_fields[found.governed_by], body.get(found.governed_by)
    assert isinstance(part, Part)
    return given if isinstance(given, dict) else {}, part.schema


def _units_of(given: object) -> Units:
    """The units of a request; where they are wrong, the load of the whole body says so with all other faults."""
    if isinstance(given, dict):
        try:
            units: Units = _UNITS.load(given)
        except ValidationError:
            return default_units
        return units
    return default_units


def _own_fats_of(body: Mapping[str, Any], schema: Schema | None) -> dict[str, OwnFat]:
    """The maker's own fats, where the operation takes any; what is wrong with one is told by the load of the body."""
    if schema is None or "own_fats" not in schema.load_fields or not isinstance(body.get("own_fats"), list):
        return {}
    found = {}
    for row in body["own_fats"]:
        try:
            own: OwnFat = _OWN_FAT.load(row)
        except ValidationError:
            continue
        found[own.key] = own
    return found


def register_operations(app: Flask, settings: Settings) -> None:
    """Give an app all operations (`app`, `settings`)."""
    for found in OPERATIONS.values():
        app.add_url_rule(found.path.replace("{", "<").replace("}", ">"), endpoint=found.name,
                         view_func=_endpoint(found, settings), methods=[found.method])


def _endpoint(found: Operation, settings: Settings) -> Callable[..., Response]:
    def endpoint(**parts: str) -> Response:
        query = _query()
        form = _form(found, query)
        if found.method == "POST":
            if query:
                raise ValidationError({key: ["is not known in this address; put it into the body."] for key in query})
            document = run(found, read_object(_body(settings)), parts)
        else:
            if query and found.query is None:
                raise ValidationError({key: ["is not known in this address."] for key in query})
            document = run(found, query, parts)
        return _reply(found, form, document)

    return endpoint


def _query() -> dict[str, str]:
    doubled = [key for key, values in request.args.lists() if len(values) > 1]
    if doubled:
        raise ValidationError({key: ["stands twice in the address; give it once."] for key in doubled})
    return request.args.to_dict()


def _form(found: Operation, query: dict[str, str]) -> str:
    """The word of `format` (taken out of the query), else the first form that Accept takes."""
    forms = found.forms
    asked = query.pop("format", None)
    if asked is not None:
        if asked not in forms:
            raise ValidationError({"format": [f'"{asked[:40]}" is not one of {", ".join(forms)}.']})
        return asked
    if not request.accept_mimetypes.provided:
        return "json"
    best = request.accept_mimetypes.best_match(list(forms.values()))
    if best is None:
        raise Problem(406, f"This answer comes as {', '.join(forms.values())}; the Accept header takes none of them.")
    return next(word for word, media_type in forms.items() if media_type == best)


def _body(settings: Settings) -> bytes:
    given = request.mimetype_params.get("charset", "utf-8").lower()
    if request.mimetype != JSON_TYPE or given not in ("utf-8", "utf8") or "Content-Encoding" in request.headers:
        raise Problem(415, f"Send Content-Type: {JSON_TYPE}, in UTF-8 and not compressed.")
    limit = settings.max_body_bytes
    too_large = Problem(413, f"The body is larger than {limit:,} bytes; send a smaller one.")
    if (request.content_length or 0) > limit:
        raise too_large
    # a chunked body tells no length: one byte over the limit is read, to see that it is over
    body = request.stream.read(limit + 1)
    if len(body) > limit:
        raise too_large
    return body


def _reply(found: Operation, form: str, document: dict[str, Any]) -> Response:
    if form == "json":
        text = current_app.json.dumps(document, ensure_ascii=False, separators=(",", ":"))
        reply = Response(text, mimetype=JSON_TYPE)
    else:
        face = found.faces[form]
        reply = Response(face.render(document), mimetype=face.media_type)
        if face.policy is not None:
            reply.headers["Content-Security-Policy"] = face.policy()
    if found.method == "POST":
        reply.headers["Cache-Control"] = "no-store"
        return reply
    return cached(reply)


def cached(reply: Response) -> Response:
    """A GET reply that caches may keep, with a strong ETag and 304 where the caller has it (`reply`)."""
    reply.headers["Cache-Control"] = "public, max-age=3600"
    reply.vary.add("Accept")
    reply.add_etag()
    return reply.make_conditional(request)  # type: ignore[return-value]  # werkzeug types it as its own Response


def dumps(document: object) -> str:
    """A JSON text for people (`document`). [text]"""
    return json.dumps(document, ensure_ascii=False, indent=2)
