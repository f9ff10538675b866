"""Exceptions of the client."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any

from kettlewright_client.retries import requested_pause

__all__ = ["Busy", "ClientError", "Fault", "InvalidInput", "NotFound", "ProblemError", "Refused", "ServerFault",
           "TimedOut", "TooLarge", "Unreachable", "problem_of"]

_SHOWN = 500  # characters of text from an unknown sender


class ClientError(Exception):
    """Base class of all exceptions here. Raised itself if the arguments do not make a request.

    `request_id` is that of the reply, if one came: with it an operator finds the request in the log.
    """

    request_id: str = ""


class Unreachable(ClientError):
    """No reply: no connection, a broken connection, or a truncated reply."""


class TimedOut(ClientError):
    """No reply in time."""


@dataclass(frozen=True)
class Fault:
    """One error of a request.

    Parameters
    ----------
    pointer, detail, code, allowed : str
        JSON Pointer into the request, what is wrong, a stable code, what is allowed. [text]
    """

    pointer: str
    detail: str
    code: str = ""
    allowed: str = ""


class ProblemError(ClientError):
    """The service answered with a problem.

    Parameters
    ----------
    status : int
        HTTP status. [code]
    type, title, detail : str
        From the problem. [text]
    errors : tuple of Fault
        All errors. [errors]
    request_id : str
        With this an operator finds the request in the log. [text]
    """

    def __init__(self, status: int, *, type: str = "", title: str = "", detail: str = "",
                 errors: tuple[Fault, ...] = (), request_id: str = "") -> None:
        super().__init__(detail)
        self.status = status
        self.type = type
        self.title = title
        self.detail = detail
        self.errors = errors
        self.request_id = request_id

    def __str__(self) -> str:
        lines = [f"{self.status} {self.title}".strip(), self.detail]
        lines += [f"  {error.pointer or '/'}: {error.detail}" for error in self.errors]
        lines.append("" if self.title.endswith("not sent") else f"(request {self.request_id or 'without an id'})")
        return "\n".join(line for line in lines if line)


class InvalidInput(ProblemError):
    """The request is unreadable or invalid: 400, 406, 415, 422."""


class NotFound(ProblemError):
    """No such path, method or item: 404, 405."""


class TooLarge(ProblemError):
    """Body, URL or headers too large: 413, 414, 431."""


class Refused(ProblemError):
    """Access refused to this caller, or under this host name: 401, 403, 421. Repeating the request does not help.

    For a 401 or 403, ask the operator for a key, and give it to the client. For a 421 the operator must add the host
    name to KETTLEWRIGHT_HOSTS.
    """


class Busy(ProblemError):
    """Too many requests, a used-up quota, or not ready: 429, 503.

    `retry_after_s` says how many seconds the service asks you to wait, 0 if it does not say. For a monthly quota they
    may be weeks: the client then raises at once.
    """

    retry_after_s: float = 0.0


class ServerFault(ProblemError):
    """The service or a proxy failed: 5xx, a redirect, or a reply that does not follow the contract."""


_BY_STATUS = {400: InvalidInput, 406: InvalidInput, 415: InvalidInput, 422: InvalidInput, 404: NotFound, 405: NotFound,
              413: TooLarge, 414: TooLarge, 431: TooLarge, 401: Refused, 403: Refused, 421: Refused, 429: Busy,
              503: Busy}


def problem_of(status: int, body: Any, headers: Mapping[str, str]) -> ProblemError:
    """Make the exception for an unsuccessful reply.

    Parameters
    ----------
    status : int
        HTTP status. [code]
    body : object
        JSON of the reply. Of anything else, such as a proxy's page, only the status is used. [as in JSON]
    headers : mapping
        Of the reply. [text]

    Returns
    -------
    ProblemError
    """
    problem = body if isinstance(body, dict) else {}
    listed = problem.get("errors")
    errors = tuple(Fault(_text(error, "pointer"), _text(error, "detail"), _text(error, "code"), _text(error, "allowed"))
                   for error in (listed if isinstance(listed, list) else ()) if isinstance(error, dict))
    made = _BY_STATUS.get(status, ServerFault)(
        status, type=_text(problem, "type"), title=_text(problem, "title") or _phrase(status),
        detail=_text(problem, "detail") or _describe(status, headers), errors=errors,
        request_id=headers.get("X-Request-ID", "")[:_SHOWN])
    if isinstance(made, Busy):
        made.retry_after_s = requested_pause(headers)
    return made


def _text(problem: Mapping[str, Any], key: str) -> str:
    found = problem.get(key)
    return found if isinstance(found, str) else ""


def _phrase(status: int) -> str:
    try:
        return HTTPStatus(status).phrase
    except ValueError:
        return ""


def _describe(status: int, headers: Mapping[str, str]) -> str:
    if 300 <= status < 400:
        target = headers.get("Location", "another address")[:_SHOWN]
        return (f"The address redirects to {target}. The client does not follow redirects, so that a recipe goes only "
                "where you sent it. If that is the service's own address, give it to the client.")
    return "The reply does not come from this service."
