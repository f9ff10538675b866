"""A request and a complete reply, however they are sent."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kettlewright_client.errors import ClientError, ServerFault

__all__ = ["LARGEST_BYTES", "LINES_TYPE", "PIECE", "Again", "BaseResponse", "Request", "TruncatedResponse", "too_large"]

LARGEST_BYTES = 64 * 1024 * 1024  # replies of the service have at most a few hundred thousand
PIECE = 65536
LINES_TYPE = "application/x-ndjson"  # many batches in one request


class TruncatedResponse(Exception):
    """The reply is incomplete; the request is repeated."""


class Again(Exception):
    """An error after which the request may succeed if repeated.

    Parameters
    ----------
    error : ClientError
        To raise if it is not repeated. [exception]
    headers : mapping
        Of the reply, if one came. [text]
    """

    def __init__(self, error: ClientError, headers: Mapping[str, str]) -> None:
        super().__init__(str(error))
        self.error = error
        self.headers = headers


@dataclass(frozen=True, slots=True)
class Request:
    """A request; its repr shows neither key nor recipe.

    Parameters
    ----------
    method, url : str
        HTTP method, and URL. [text]
    headers, params : mapping
        Headers, and query parameters. [text]
    data : bytes, optional
        The body. [bytes]
    timeout : tuple of float
        To connect, and between two parts of the reply. [s]
    path : str
        The path without the prefix of the address, for the log. [text]
    """

    method: str
    url: str
    headers: Mapping[str, str] = field(repr=False)
    params: Mapping[str, str] = field(default_factory=dict, repr=False)
    data: bytes | None = field(default=None, repr=False)
    timeout: tuple[float, float] = (3.05, 10.0)
    path: str = ""


@dataclass(frozen=True, slots=True)
class BaseResponse:
    """A complete reply.

    Parameters
    ----------
    status : int
        HTTP status. [code]
    headers : mapping
        Headers; their names ignore case. [text]
    content : bytes
        The body, decompressed. [bytes]
    """

    status: int
    headers: Mapping[str, str]
    content: bytes

    @property
    def request_id(self) -> str:
        """X-Request-ID, "" if there is none."""
        return self.headers.get("X-Request-ID", "")[:200]


def too_large(status: int, headers: Mapping[str, str]) -> ServerFault:
    """The exception for a reply above `LARGEST_BYTES`.

    Parameters
    ----------
    status : int
        HTTP status. [code]
    headers : mapping
        Its headers. [text]

    Returns
    -------
    ServerFault
    """
    return ServerFault(status, detail="The reply is larger than any reply of this service.",
                       request_id=headers.get("X-Request-ID", ""))
