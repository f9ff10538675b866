"""A client whose requests are answered in process, by the real app or by a function."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from typing import Any

import requests
from flask.testing import FlaskClient
from kettlewright_client import Client
from requests.adapters import BaseAdapter

BaseResponse = Callable[[requests.PreparedRequest], requests.Response]


class Wire(BaseAdapter):
    """Answers requests by a function instead of a network."""

    def __init__(self, answer: BaseResponse) -> None:
        super().__init__()
        self.answer = answer
        self.sent: list[requests.PreparedRequest] = []
        self.timeouts: list[Any] = []

    def send(self, request: requests.PreparedRequest, stream: bool = False, timeout: Any = None, *args: Any,
             **more: Any) -> requests.Response:
        self.sent.append(request)
        self.timeouts.append(timeout)
        return self.answer(request)

    def close(self) -> None:
        pass


def made(request: requests.PreparedRequest, status: int, body: bytes, headers: Mapping[str, str]) -> requests.Response:
    reply = requests.Response()
    reply.status_code, reply.raw, reply.url, reply.request = status, io.BytesIO(body), str(request.url), request
    reply.headers.update(headers)
    reply.encoding = "utf-8"
    return reply


def in_process(app: FlaskClient) -> BaseResponse:
    def answer(request: requests.PreparedRequest) -> requests.Response:
        body = request.body.encode() if isinstance(request.body, str) else request.body
        got = app.open(request.path_url, method=request.method, data=body, headers=dict(request.headers))
        return made(request, got.status_code, got.data, dict(got.headers))
    return answer


def over(answer: BaseResponse, **options: Any) -> tuple[Client, Wire]:
    wire, session = Wire(answer), requests.Session()
    session.mount("http://", wire)
    return Client("http://kettlewright.test/", session=session, **options), wire
