"""What can go wrong between a caller and the service, by name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

__all__ = ["Busy", "ClientError", "Fault", "InvalidInput", "NotFound", "ProblemError", "ServerFault", "TimedOut",
           "TooLarge", "Unreachable", "problem_of"]


class ClientError(Exception):
    """Anything this client raises."""


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


class Busy(ProblemError):
    """Too many requests, or not ready: 429, 503."""


class ServerFault(ProblemError):
    """The service, or something before it, failed: 5xx and whatever is not HTTP as agreed."""


_BY_STATUS = {400: InvalidInput, 406: InvalidInput, 415: InvalidInput, 422: InvalidInput, 404: NotFound, 405: NotFound,
              413: TooLarge, 414: TooLarge, 431: TooLarge, 429: Busy, 503: Busy}


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
    faults = tuple(Fault(str(told.get("pointer", "")), str(told.get("detail", "")), str(told.get("code", "")),
                         str(told.get("allowed", "")))
                   for told in problem.get("errors", ()) if isinstance(told, dict))
    return _BY_STATUS.get(status, ServerFault)(
        status, type=str(problem.get("type", "")), title=str(problem.get("title", "")),
        detail=str(problem.get("detail", "the reply is none of this service")), errors=faults,
        request_id=headers.get("X-Request-ID", ""))
