"""Problems of RFC 9457 for every 4xx and 5xx, the framework's own included; one table, one handler. A browser gets a
page in the same words.

`type` is a relative URI with a page of its own. Nothing of the inside (file, library, trace) reaches a caller.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from flask import Flask, Response, g, json, request
from marshmallow import ValidationError
from werkzeug.exceptions import HTTPException

from kettlewright.api.door.checking import FAULTS_MAX
from kettlewright.api.door.strict_json import UnreadableBody
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.languages import default_locale, translated, using_locale
from kettlewright.said import Said

__all__ = ["ALL_KINDS", "KEY_REFUSED", "KINDS", "Kind", "Problem", "faults_in", "in_words", "problem_json",
           "register_problems", "wrong_input"]

Path = tuple[Any, ...]
Page = Callable[[Mapping[str, Any]], tuple[str, str]]

_log = logging.getLogger("kettlewright")
_TEXT_MAX = 4_000  # characters of one sentence; some list every row of a plan
_SPOKEN_MAX = 3  # errors in a cell of a spreadsheet
_ERRORS_BYTES_MAX = 60_000  # of a problem of at most 64 kB: the rest is its own words and the address


@dataclass(frozen=True, slots=True)
class Kind:
    """A type of problem.

    Parameters
    ----------
    slug, title, page : str
        Last part of its URI, its title, what its page says. [text]
    status : int
        HTTP status. [code]
    """

    slug: str
    status: int
    title: str
    page: str


KINDS: Mapping[int, Kind] = MappingProxyType({kind.status: kind for kind in (
    Kind("unreadable-body", 400, "The request cannot be read",
         "The body is not one UTF-8 JSON object in which every key appears once. Or the address is damaged: an "
         "incomplete escape, text that is not UTF-8, a plan that was altered."),
    Kind("key-needed", 401, Said("A valid key is needed"),
         "The request has no key, or one that is mistyped, revoked or past its last day. Send your key in the header "
         "Authorization: Bearer KEY, or a read-only key in the address as key=KEY. The operator makes keys."),
    Kind("other-site", 403, "Request from another site", "A page of another site made your browser send this request, "
         "which this service does not allow. Open the link itself. The operator of the service can allow that site."),
    Kind("not-found", 404, "There is nothing here", "No operation or item has this address. The list is at /docs."),
    Kind("wrong-method", 405, "Wrong method",
         "The address exists, but not for this method: see the Allow header."),
    Kind("not-acceptable", 406, "Not in this form", "The response does not exist in a form that the request accepts."),
    Kind("body-too-large", 413, "The body is too large", "Send a smaller body; the limit is a setting of the service."),
    Kind("address-too-long", 414, "The address is too long", "Shorten it. A calculation may "
         "also be sent as POST, with a JSON body."),
    Kind("wrong-media-type", 415, "Not JSON", "Send Content-Type: application/json, UTF-8, uncompressed."),
    Kind("other-host", 421, "Not this host",
         "The service does not have the name in the Host header. Its operator lists its names in "
         "KETTLEWRIGHT_HOSTS."),
    Kind("wrong-input", 422, "The input is wrong",
         "The request is readable, but a value is missing, unknown, out of range, or impossible together with the "
         "others. `errors` lists all errors with a JSON Pointer into the body (in an address: the key, its number from "
         "0 if it is repeated, the part), a code, what is allowed and what to do."),
    Kind("quota-used", 429, Said("The quota is used up"),
         "Your key has a quota of requests or of seconds of computing a month, and it is used up. The key works again "
         "after the seconds in `Retry-After`, when the next month begins (UTC)."),
    Kind("internal", 500, "The service failed", "This is an error of the service. Give the operator the request id."),
    Kind("not-ready", 503, "Not now",
         "The service is starting, a known calculation does not agree, or all slots for heavy calculations are taken. "
         "Send the same request again after the seconds in `Retry-After`. If a calculation took too long, it was "
         "stopped: make the request smaller."),
)})
"""By status; of a status with several, the one that needs no key to happen."""

KEY_REFUSED = Kind("key-refused", 403, Said("This key does not allow this"),
                   "A read-only key works for GET only, and only a read-only key may be in an address. Some addresses "
                   "need an operator's key.")
"""The other 403."""
ALL_KINDS = (*KINDS.values(), KEY_REFUSED)


class Problem(Exception):
    """A response that is a problem.

    Parameters
    ----------
    status : int
        One of `KINDS`. [code]
    detail : str
        What is wrong and what to do. [text]
    errors : list of dict
        `pointer`, `detail`, `code`, `allowed`. [errors]
    headers : mapping
        More headers. [text]
    kind : Kind, optional
        If it is not that of `KINDS`. [kind]
    language : str
        Of the reader, for a title and a detail that have translations; most are English only. [key]
    """

    def __init__(self, status: int, detail: str, *, errors: list[dict[str, str]] | None = None,
                 headers: Mapping[str, str] | None = None, kind: Kind | None = None,
                 language: str = default_locale) -> None:
        super().__init__(detail)
        self.status = status
        self.detail = detail
        self.errors = errors or []
        self.headers = dict(headers or {})
        self.kind = kind or KINDS[status]
        self.language = language


def _pointer(path: tuple[object, ...]) -> str:
    return "".join(f"/{str(part).replace('~', '~0').replace('/', '~1')}" for part in path)


def _spoken(path: tuple[object, ...]) -> str:
    words = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in path)
    return words.removeprefix(".")


def _entry(path: Path, detail: str, code: str, allowed: str = "") -> dict[str, str]:
    found = {"pointer": _pointer(path), "detail": detail, "code": code}
    return {**found, "allowed": allowed} if allowed else found


def _of_field(path: Path, error: object) -> dict[str, str]:
    """An entry of `errors` for what a field reports (`field_errors.py`); a bare text is marshmallow's own."""
    found: dict[str, Any] = error if isinstance(error, dict) else {
        "detail": str(error), "code": "wrong_type", "named": True}
    detail = found["detail"]
    if found.get("named") and path:
        detail = f"{_spoken(path)} {detail}"
    return _entry(path, detail, found["code"], found.get("allowed", ""))


def faults_in(messages: object, path: Path = ()) -> Iterator[tuple[Path, object]]:
    """Each error among marshmallow's messages, after its path (`messages`; `path`: of all of them)."""
    if isinstance(messages, dict) and not {"detail", "code"} <= messages.keys():
        for key, inner in messages.items():
            yield from faults_in(inner, path if key == "_schema" else (*path, key))
    elif isinstance(messages, list):
        for message in messages:
            yield from faults_in(message, path) if isinstance(message, list) else ((path, message),)
    else:
        yield path, messages


def wrong_input(error: ValidationError | DomainError | DomainErrors,
                place: Callable[[Path], Path] = lambda path: path) -> Problem:
    """A wrong input as a problem.

    Parameters
    ----------
    error : ValidationError, DomainError or DomainErrors
        What was found. [error]
    place : callable
        Where the request gives the value at a path of the body: the same path, but in an address. [function]

    Returns
    -------
    Problem
    """
    skipped = 0
    if isinstance(error, ValidationError):
        found = [_of_field(place(path), one) for path, one in faults_in(error.messages)]
        skipped = error.kwargs.get("not_checked", 0)
    else:
        found = [_entry(place(one.field), one.detail, one.code, one.allowed)
                 for one in (error.errors if isinstance(error, DomainErrors) else (error,))]
    errors = _that_fit(found)
    return Problem(422, errors[0]["detail"] + _more(len(errors) - 1, len(found) - len(errors), skipped), errors=errors)


def _that_fit(found: list[dict[str, str]]) -> list[dict[str, str]]:
    """The first errors, at most `FAULTS_MAX` of them and as many as a problem has room for."""
    errors: list[dict[str, str]] = []
    room = _ERRORS_BYTES_MAX
    for entry in found[:FAULTS_MAX]:
        fault = {name: _cut(text) for name, text in entry.items()}
        room -= len(json.dumps(fault, ensure_ascii=False).encode("utf-8", "replace")) + 2
        if room < 0 and errors:
            break
        errors.append(fault)
    return errors


def _cut(text: str) -> str:
    return text if len(text) <= _TEXT_MAX else f"{text[:_TEXT_MAX]}..."


def _more(below: int, unlisted: int, skipped: int) -> str:
    """What the detail says of the other errors: how many are below, are left out, were never looked for."""
    said = [f"{below} more below"] if below else []
    if unlisted:
        said.append(f"{unlisted} more not listed")
    if skipped:
        said.append(f"the check stopped there: {skipped} more {'place was' if skipped == 1 else 'places were'} not "
                    "checked")
    return f" ({'; '.join(said)})" if said else ""


def _as_problem(error: Exception) -> Problem:
    if isinstance(error, Problem):
        return error
    if isinstance(error, UnreadableBody):
        return Problem(400, str(error))
    if isinstance(error, (ValidationError, DomainError, DomainErrors)):
        return wrong_input(error)
    if isinstance(error, HTTPException):
        return _of_framework(error)
    _log.error("unexpected failure", exc_info=error, extra={"request_id": g.get("request_id")})
    return Problem(500, "The service failed on this request. This is its own error; give the operator the request id.")


def _of_framework(error: HTTPException) -> Problem:
    kept = {name: value for name, value in error.get_headers() if name in ("Allow", "Retry-After")}
    code = error.code or 500
    status = code if code in KINDS else 400 if code < 500 else 500
    detail = {
        404: f"There is nothing at {request.path[:200]}. The operations are listed at /docs.",
        405: f"{request.path[:200]} does not take {request.method[:20]}; it takes {kept.get('Allow', 'nothing')}.",
    }.get(status, KINDS[status].page)
    return Problem(status, detail, headers=kept)


def problem_json(error: Exception) -> bytes:
    """A failure as the JSON object of RFC 9457, in one line.

    Parameters
    ----------
    error : Exception
        What was raised. [error]

    Returns
    -------
    bytes : [UTF-8]
    """
    return _as_bytes(_document(_as_problem(error)))


def _as_bytes(body: Mapping[str, Any]) -> bytes:
    return json.dumps(body, ensure_ascii=False, sort_keys=False).encode("utf-8", "replace")


def _document(problem: Problem) -> dict[str, Any]:
    with using_locale(problem.language):
        body = {"type": f"/problems/{problem.kind.slug}", "title": translated(problem.kind.title),
                "status": problem.status, "detail": translated(problem.detail), "instance": request.path,
                "errors": problem.errors}
    if problem.status == 500:
        body["request_id"] = g.get("request_id")
    return body


def _reply(error: Exception, page: Page | None) -> Response:
    problem = _as_problem(error)
    body = _document(problem)
    if page is not None and _wants_a_page():
        with using_locale(problem.language):
            text, policy = page(body)
        reply = Response(text.encode("utf-8", "replace"), status=problem.status, mimetype="text/html",
                         headers={"Content-Security-Policy": policy})
    else:
        reply = Response(_as_bytes(body), status=problem.status, mimetype="application/problem+json")
    reply.headers.update({"Cache-Control": "no-store", **problem.headers})
    reply.vary.add("Accept")
    return reply


def _wants_a_page() -> bool:
    """Whether a browser shows the reply to a person: it asks for HTML before JSON."""
    forms = ("application/problem+json", "application/json", "text/html")
    return request.accept_mimetypes.provided and request.accept_mimetypes.best_match(forms) == "text/html"


def in_words(error: Exception) -> str:
    """What is wrong with a request, as one line for a cell.

    Parameters
    ----------
    error : Exception
        What was raised. [error]

    Returns
    -------
    str : the first errors, each after its place, whose items are counted from 1

    Raises
    ------
    Exception : the same, if it is a failure of the service.
    """
    problem = _as_problem(error)
    if problem.status >= 500:
        raise error
    said = [_after_its_place(one) for one in problem.errors[:_SPOKEN_MAX]] or [problem.detail]
    below = len(problem.errors) - _SPOKEN_MAX
    return " ".join(" ".join([*said, *([f"({below} more)"] if below > 0 else [])]).split())


def _after_its_place(error: Mapping[str, str]) -> str:
    steps = [step.replace("~1", "/").replace("~0", "~") for step in error["pointer"].split("/")[1:]]
    place = " ".join(str(int(step) + 1) if step.isascii() and step.isdigit() else step for step in steps)
    return f"{place}: {error['detail']}" if place else error["detail"]


def register_problems(app: Flask, page: Page | None = None) -> None:
    """Answer every failure of an app with a problem.

    Parameters
    ----------
    app : Flask
        The app. [app]
    page : callable, optional
        Makes a page and its content security policy of a problem, for browsers. [function]
    """
    app.register_error_handler(Exception, lambda error: _reply(error, page))
