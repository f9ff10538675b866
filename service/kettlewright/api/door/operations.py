"""Operations: a route, its schemas and its documentation, in one place.

    @operation("POST", "/v1/cuts", name="cuts", request=CutsRequest, response=CutsResponse, summary="...")
    def cuts(block: Block, bar: BarCut, **rest: Any) -> object:
        return answer("cuts", ...)

The view gets what the request's schema loads and returns what the reply's schema dumps; both run under the units and
the language of the request. A calculation may also be requested by its address (`operation_by_link`): that makes
the same body. Nothing is stored and no clock is read: the same body gives the same bytes.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from marshmallow import Schema

from kettlewright.api.door.by_address import Reader
from kettlewright.api.door.compiled_dump import Dump, compiled_dump
from kettlewright.api.door.compiled_load import Load, compiled_load
from kettlewright.api.door.strict import Strict
from kettlewright.api.door.tables import Table, tables_of
from kettlewright.copies import replace
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.languages import in_english
from kettlewright.names import few_suggestions

__all__ = ["BY_LINK", "JSON_TYPE", "LINES_TYPE", "OPERATIONS", "Face", "Operation", "around_run", "operation",
           "operation_by_link", "run"]

SelfLink = Callable[[Mapping[str, Any]], Mapping[str, Any]]
FileName = Callable[[Mapping[str, Any]], str]
OF_ALL = (400, 403, 405, 406, 414, 421, 422, 500)
"""Problems that every operation can answer. [codes]"""
JSON_TYPE = "application/json"
LINES_TYPE = "application/x-ndjson"
BY_LINK = "_by_link"
"""Ending of the name of a calculation by address. [text]"""


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
    card : callable, optional
        Makes a card of the JSON reply: the same, small, at `form=card`. [function]
    """

    media_type: str
    render: Callable[[Mapping[str, Any]], str]
    policy: Callable[[], str] | None = None
    card: Callable[[Mapping[str, Any]], str] | None = None


@dataclass(frozen=True)
class Operation:
    """One operation of the contract.

    Parameters
    ----------
    method, path, name, summary, description, group : str
        As in the document; `name` is the operation id, `group` the tag. [text]
    request, response, query : Schema, optional
        Body, reply, query. [schemas]
    view : callable
        What it does. [function]
    load : callable
        Loads a body, or the query of a GET without one, as `request` or `query` does. [function]
    dump : callable
        Makes the JSON reply of what the view returns, as `response` does. [function]
    faces : mapping
        Other forms of the reply, by the word of `format`. [faces]
    statuses : tuple of int
        Problems it can answer. [codes]
    named_by_body : bool
        The view gets the body too, as `request_body`: its response has an identity made of it. [yes or no]
    link : Reader, optional
        Makes the body of the address: of a calculation that is requested by GET. [reader]
    self_link : callable, optional
        What the reply says of its own address, of the body. [function]
    heavy : bool
        It may take long, and is done in a slot (`slots.py`). [yes or no]
    many : bool
        It also takes many bodies, one a line, and answers them in order (`streaming.py`). [yes or no]
    main_table : str, optional
        The table that a reply is as CSV, where none is named; default `weigh_list`, else the first. [name]
    file_name : callable, optional
        Name to save a reply under, without its ending, made of the JSON reply. [function]
    """

    method: str
    path: str
    name: str
    summary: str
    description: str
    group: str
    request: Strict | None
    response: Schema
    query: Strict | None
    view: Callable[..., Any]
    load: Load
    dump: Dump
    faces: Mapping[str, Face] = field(default_factory=dict)
    statuses: tuple[int, ...] = ()
    named_by_body: bool = False
    link: Reader | None = None
    self_link: SelfLink | None = None
    main_table: str | None = None
    heavy: bool = False
    file_name: FileName | None = None
    many: bool = False

    @cached_property  # which is why this class has no slots
    def forms(self) -> Mapping[str, str]:
        """Media types by the word of `format`. [text]"""
        tables = {"csv": "text/csv"} if self.group != "service" else {}
        return {"json": JSON_TYPE, **{word: face.media_type for word, face in self.faces.items()}, **tables,
                "text": "text/plain"}

    @cached_property
    def tables(self) -> Mapping[str, Table]:
        """Tables of the reply, by name; the main one first. [tables]"""
        return tables_of(self.response, main=self.main_table)


OPERATIONS: dict[str, Operation] = {}
around_run: ContextVar[Callable[[], AbstractContextManager[None]]] = ContextVar(
    "around_run", default=contextlib.nullcontext)
"""Makes what holds around each run of an operation, such as data of the operator's; nothing by default."""


def operation(method: str, path: str, *, name: str, group: str, response: type[Schema], summary: str,
              description: str = "", request: type[Strict] | None = None, query: type[Strict] | None = None,
              faces: Mapping[str, Face] | None = None, statuses: tuple[int, ...] = (),
              named_by_body: bool = False, main_table: str | None = None, heavy: bool = False,
              self_link: SelfLink | None = None, file_name: FileName | None = None,
              many: bool = False) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Register a view as an operation (see `Operation` for the arguments)."""
    def register(view: Callable[..., Any]) -> Callable[..., Any]:
        of_method: tuple[int, ...] = (*OF_ALL, 413, 415) if method == "POST" else OF_ALL
        of_method += (503,) if heavy else ()
        body, reply, pairs = request() if request else None, response(), query() if query else None
        given = body or pairs
        OPERATIONS[name] = Operation(
            method, path, name, summary, description, group, body, reply, pairs, view,
            compiled_load(given) if given else lambda _: {}, compiled_dump(reply), dict(faces or {}),
            tuple(sorted({*of_method, *statuses})),
            self_link=self_link, named_by_body=named_by_body, main_table=main_table, heavy=heavy,
            file_name=file_name, many=many)
        return view
    return register


def operation_by_link(name: str, link: Reader, *, description: str, statuses: tuple[int, ...] = ()) -> None:
    """Make a calculation available by its address alone, with the same reply.

    Parameters
    ----------
    name : str
        Of the operation. [text]
    link : Reader
        What makes its body of the address. [reader]
    description : str
        What to know of the address. [text]
    statuses : tuple of int
        Problems it can answer beyond the usual. [codes]
    """
    of = OPERATIONS[name]
    OPERATIONS[name + BY_LINK] = replace(
        of, method="GET", name=name + BY_LINK, summary=f"{of.summary}: by a link", description=description,
        link=link, many=False, statuses=tuple(sorted({*OF_ALL, *((503,) if of.heavy else ()), *statuses})))


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
    ValidationError, DomainError, DomainErrors : a wrong input.
    """
    schema = found.request or found.query
    with around_run.get()():
        if schema is not None:
            body = schema.completed(body)
        return _run(found, schema, body, parts)


def _run(found: Operation, schema: Strict | None, body: Mapping[str, Any],
         parts: Mapping[str, Any] | None) -> dict[str, Any]:
    with contextlib.nullcontext() if schema is None else schema.governing(body), few_suggestions():
        loaded = found.load(body)
        more = {"request_body": body} if found.named_by_body else {}
        try:
            result = found.view(**loaded, **more, **(parts or {}))
        except (DomainError, DomainErrors) as error:
            raise error.with_texts(in_english) from None  # here, where the units of the request are known
        if found.self_link is not None:
            result = {**result, "links": found.self_link(body)}
        return found.dump(result)
