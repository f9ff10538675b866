"""What can go wrong between a caller and the service, by name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any

__all__ = ["Busy", "ClientError", "Fault", "InvalidInput", "NotFound", "ProblemError", "Refused", "ServerFault",
           "TimedOut", "TooLarge", "Unreachable", "problem_of"]

_SHOWN = 500  # of a text that came from who knows where


class ClientError(Exception):
    """Anything this client raises; by itself: the request could not be made of what was given."""


class Unreachable(ClientError):
    """No reply: no connection, a connection that broke, a reply that was cut off."""


class TimedOut(ClientError):
    """No reply in time."""


@dataclass(frozen=True)
class Fault:
    """One fault of a request.

    Parameters
    ----------
    pointer, detail, code, allowed : str
        JSON Pointer into the request, what is wrong, a stable word, what is allowed. [text]
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
        As in the problem. [text]
    errors : tuple of Fault
        Every fault. [faults]
    request_id : str
        What an operator can find it by. [text]
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
        lines += [f"  {fault.pointer or '/'}: {fault.detail}" for fault in self.errors]
        return "\n".join([*(line for line in lines if line), f"(request {self.request_id or 'without an id'})"])


class InvalidInput(ProblemError):
    """The request is unreadable or wrong: 400, 406, 415, 422."""


class NotFound(ProblemError):
    """No such address or item: 404, 405."""


class TooLarge(ProblemError):
    """Body, address or headers too large: 413, 414, 431."""


class Refused(ProblemError):
    """Not answered for this caller or under this name: 401, 403, 421. The same request never gets through.

    421: the operator has to name the host of this address in KETTLEWRIGHT_HOSTS.
    """


class Busy(ProblemError):
    """Too many requests, or not ready: 429, 503."""


class ServerFault(ProblemError):
    """The service, or something before it, failed: 5xx, a redirect, and whatever is not HTTP or JSON as agreed."""


_BY_STATUS = {400: InvalidInput, 406: InvalidInput, 415: InvalidInput, 422: InvalidInput, 404: NotFound, 405: NotFound,
              413: TooLarge, 414: TooLarge, 431: TooLarge, 401: Refused, 403: Refused, 421: Refused, 429: Busy,
              503: Busy}


def problem_of(status: int, body: Any, headers: Mapping[str, str]) -> ProblemError:
    """The exception for a reply that is no success.

    Parameters
    ----------
    status : int
        HTTP status. [code]
    body : object
        The JSON of the reply; anything else (a proxy's page, say) is told by its status alone. [as in JSON]
    headers : mapping
        Of the reply. [text]

    Returns
    -------
    ProblemError
    """
    problem = body if isinstance(body, dict) else {}
    told = problem.get("errors")
    faults = tuple(Fault(_text(fault, "pointer"), _text(fault, "detail"), _text(fault, "code"), _text(fault, "allowed"))
                   for fault in (told if isinstance(told, list) else ()) if isinstance(fault, dict))
    return _BY_STATUS.get(status, ServerFault)(
        status, type=_text(problem, "type"), title=_text(problem, "title") or _phrase(status),
        detail=_text(problem, "detail") or _instead(status, headers), errors=faults,
        request_id=headers.get("X-Request-ID", "")[:_SHOWN])


def _text(problem: Mapping[str, Any], key: str) -> str:
    told = problem.get(key)
    return told if isinstance(told, str) else ""


def _phrase(status: int) -> str:
    try:
        return HTTPStatus(status).phrase
    except ValueError:
        return ""


def _instead(status: int, headers: Mapping[str, str]) -> str:
    if 300 <= status < 400:
        there = headers.get("Location", "somewhere else")[:_SHOWN]
        return (f"the address sends on to {there}. That is not followed, since a recipe goes only where it was sent: "
                "if it is the service's own address, give it to the client.")
    return "the reply is none of this service"
