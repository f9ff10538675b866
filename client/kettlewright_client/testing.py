"""A client that needs no network, for the tests of your own programs.

    from kettlewright_client.testing import StubClient

    def test_my_sheet_shows_the_alkali():
        client = StubClient()                                     # replies with recorded, invented examples
        assert my_sheet(client).startswith("Sodium hydroxide")
        assert client.sent[0].operation == "lye"                  # and keeps the requests

    client = StubClient({"lye": my_reply})                        # a reply of your own, as a mapping
    client = StubClient({"lye": lambda body: reply_for(body)})    # made of the body
    client = StubClient({"lye": TimedOut("no reply")})            # an error of the service
    client = AsyncStubClient()                                    # the same for AsyncClient

Everything but the network is real: requests are written as JSON, replies are read and checked. A body that breaks the
contract is rejected as the service would do it, with `InvalidInput` and the pointer of each error (names, types and
bounds; the stub does not do the maths). That needs jsonschema: install "kettlewright-client[testing]", or make the stub
with `check=False`.
The recorded numbers belong to the recorded bodies (`recorded`), not to your request: never use them for soap.
"""

from __future__ import annotations

import dataclasses
import io
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qsl, unquote, urlsplit

import requests
from requests.adapters import BaseAdapter

from kettlewright_client.client import Client
from kettlewright_client.errors import ClientError, ProblemError
from kettlewright_client.operations import MEDIA_TYPES, OPERATIONS
from kettlewright_client.reply import LINES_TYPE
from kettlewright_client.request_check import find_errors

if TYPE_CHECKING:
    from kettlewright_client.async_stub import AsyncStubClient

__all__ = ["AsyncStubClient", "Example", "Sent", "StubClient", "StubResponse", "recorded"]

StubResponse = Mapping[str, Any] | str | ClientError | Callable[[Any], "Mapping[str, Any] | str | ClientError"]
_ADDRESS = "http://stub.invalid"
_PROBLEM = "application/problem+json"


@dataclass(frozen=True)
class Sent:
    """A request that a stub received.

    Parameters
    ----------
    operation, form : str
        Such as "lye" and "json". [words]
    body : object
        The JSON body; None for a GET. [as in JSON]
    address : mapping
        The query parameters. [text]
    """

    operation: str
    form: str
    body: Any
    address: Mapping[str, str]


@dataclass(frozen=True)
class Example:
    """A recorded request and its replies.

    Parameters
    ----------
    body : mapping, optional
        The request; None for a GET. [as in JSON]
    replies : mapping
        The JSON, and every other form as text, as in `format`. [as in JSON]
    """

    body: Mapping[str, Any] | None
    replies: Mapping[str, Any]


@cache
def _file() -> str:
    return Path(__file__).with_name("recorded.json").read_text(encoding="utf-8")


def recorded() -> dict[str, Example]:
    """The recorded examples, by operation: invented requests and the real replies to them. [as in JSON]"""
    return {name: Example(one["body"], one["replies"]) for name, one in json.loads(_file()).items()}


class StubClient(Client):
    """A client that replies without a service; `sent` has the requests.

    Parameters
    ----------
    replies : mapping, optional
        By operation, or by operation and form as in "batches.html": a mapping (the JSON), a text (another form), an
        exception of this client, or a function of the body that gives one of them. All other requests get the
        recorded examples. [as in JSON]
    check : bool
        Whether bodies are checked against the contract, unless the reply is an exception. [yes or no]
    """

    def __init__(self, replies: Mapping[str, StubResponse] | None = None, *, check: bool = True) -> None:
        stub = _Stub(replies or {}, check=check)
        session = requests.Session()
        session.trust_env = False
        session.mount("http://", _Adapter(stub))
        super().__init__(_ADDRESS, session=session, retries=0)
        self._check = check
        self.sent = stub.sent


class _Stub:
    """Answers requests."""

    def __init__(self, replies: Mapping[str, StubResponse], *, check: bool) -> None:
        for name in replies:
            if name.partition(".")[0] not in OPERATIONS:
                raise ClientError(f'"{name}" is not an operation. Operations are {", ".join(OPERATIONS)}.')
        self.sent: list[Sent] = []
        self._check = check
        self._replies = replies

    def answer(self, method: str, url: str, accept: str, body: bytes | str | None) -> tuple[int, str, bytes]:
        """Status, media type and content."""
        if accept == LINES_TYPE:
            lines = (body.encode() if isinstance(body, str) else body or b"").splitlines()
            return 200, LINES_TYPE, b"".join(self._line(method, url, line) + b"\n" for line in lines)
        sent = _read_request(method, url, accept, body)
        self.sent.append(sent)
        prepared = self._own(sent)
        errors = [] if isinstance(prepared, ClientError) or not self._check else find_errors(sent.operation, sent.body)
        if errors:
            return 422, _PROBLEM, json.dumps(_problem(errors, url), ensure_ascii=False).encode("utf-8")
        found = self._reply(sent)
        if isinstance(found, ClientError):
            raise found
        content = found if isinstance(found, str) else json.dumps(found, ensure_ascii=False)
        return 200, MEDIA_TYPES.get(sent.form, "text/plain"), content.encode("utf-8")

    def _line(self, method: str, url: str, line: bytes) -> bytes:
        """The reply to one of many."""
        try:
            return self.answer(method, url, "application/json", line)[2]
        except ProblemError as error:
            problem = {"type": error.type, "title": error.title, "status": error.status, "detail": error.detail,
                       "errors": [dataclasses.asdict(one) for one in error.errors]}
            return json.dumps(problem, ensure_ascii=False).encode("utf-8")

    def _own(self, sent: Sent) -> StubResponse | None:
        for name in (f"{sent.operation}.{sent.form}", sent.operation if sent.form == "json" else ""):
            if name in self._replies:
                return self._replies[name]
        return None

    def _reply(self, sent: Sent) -> Mapping[str, Any] | str | ClientError:
        own = self._own(sent)
        if own is not None:
            return own(sent.body) if callable(own) else own
        replies = recorded()[sent.operation].replies
        if sent.form not in replies:
            raise ClientError(f'No {sent.form} of {sent.operation} is recorded; give one as '
                              f'"{sent.operation}.{sent.form}".')
        found: Mapping[str, Any] | str = replies[sent.form]
        return found


class _Adapter(BaseAdapter):
    """Takes the place of the network below requests."""

    def __init__(self, stub: _Stub) -> None:
        super().__init__()
        self._stub = stub

    def send(self, request: requests.PreparedRequest, *_: Any, **__: Any) -> requests.Response:
        status, kind, content = self._stub.answer(str(request.method), str(request.url),
                                                  str(request.headers.get("Accept")), request.body)
        reply = requests.Response()
        reply.status_code, reply.url, reply.request = status, str(request.url), request
        reply.raw = io.BytesIO(content)
        reply.headers.update(_headers(kind, content))
        return reply

    def close(self) -> None:
        """Nothing to close."""


def _headers(kind: str, content: bytes) -> dict[str, str]:
    return {"Content-Type": kind, "X-Request-ID": "stub", "Content-Length": str(len(content))}


def _problem(errors: list[dict[str, str]], url: str) -> dict[str, Any]:
    more = f" ({len(errors) - 1} more below)" if len(errors) > 1 else ""
    return {"type": "/problems/wrong-input", "title": "The input is wrong", "status": 422,
            "detail": errors[0]["detail"] + more, "instance": urlsplit(url).path, "errors": errors}


def _read_request(method: str, url: str, accept: str, body: bytes | str | None) -> Sent:
    parts = urlsplit(url)
    address = dict(parse_qsl(parts.query, keep_blank_values=True))
    accepted = {media_type: word for word, media_type in MEDIA_TYPES.items()}
    form = address.pop("format", "") or accepted.get(accept, "json")
    for name, operation in OPERATIONS.items():
        before, key, _ = operation.path.partition("{key}")
        if method == operation.method and (parts.path == operation.path
                                                   or (key and parts.path.startswith(before))):
            more = {"key": unquote(parts.path.removeprefix(before))} if key else {}
            return Sent(name, form, json.loads(body) if body else None, {**address, **more})
    raise ClientError(f"Nothing is known to answer {method} {parts.path}.")


def __getattr__(name: str) -> Any:
    """`AsyncStubClient`, which needs httpx, is made when it is first used."""
    if name != "AsyncStubClient":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from kettlewright_client.async_stub import AsyncStubClient
    return AsyncStubClient
