"""Addresses that are not operations: the contract, the page to read and try it, a page for each problem."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from html import escape
from pathlib import Path

import flask_swagger_ui
from flask import Flask, Response, abort, request, send_from_directory

from kettlewright.api.document.in_child import made_in_child
from kettlewright.api.document.openapi import as_yaml, document
from kettlewright.api.document.snippets import CELLS
from kettlewright.api.door.operations import BY_LINK, OPERATIONS
from kettlewright.api.door.problems import ALL_KINDS
from kettlewright.api.door.replies import cached

__all__ = ["build", "register"]

Home = Callable[[str, list[tuple[str, str]]], tuple[str, str]]

_DIST = Path(flask_swagger_ui.__file__).parent / "dist"
_ASSETS = frozenset({"swagger-ui.css", "swagger-ui-bundle.js", "index.css"})
# the page's own frame: no inline script or style, nothing from elsewhere
_DOCS_POLICY = ("default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
                "base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
_DOCS = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Kettlewright: the contract</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="docs/page.css"></head>
<body><div id="contract">OPERATIONS</div><script src="docs/start.js"></script></body></html>
"""
_PAGE_CSS = """:root {color-scheme: light dark; font: 1rem/1.5 system-ui, sans-serif}
body {max-width: 60rem; margin: 0 auto; padding: 1rem} ul {padding-left: 1rem} li {margin: .3rem 0}
"""
# 1.5 MB of script take seconds to start: the list of operations stays until somebody wants more than the list
_START = """"use strict";
{
  let started = false;
  const add = (kind, to) => new Promise((done) =>
    document.head.append(Object.assign(document.createElement(kind), {...to, onload: done})));
  const start = async () => {
    if (started || !location.hash) return;
    started = true;
    document.body.setAttribute("aria-busy", "true");
    await Promise.all([add("link", {rel: "stylesheet", href: "docs/assets/swagger-ui.css"}),
                       add("script", {src: "docs/assets/swagger-ui-bundle.js"})]);
    document.querySelector('link[href="docs/page.css"]').remove();
    document.documentElement.style.colorScheme = "light";  // the only one it has
    SwaggerUIBundle({url: "openapi.json", dom_id: "#contract", deepLinking: true, validatorUrl: null,
                     queryConfigEnabled: false, defaultModelsExpandDepth: -1});
    document.body.removeAttribute("aria-busy");
  };
  addEventListener("hashchange", start);
  start();
}
"""


@dataclass(frozen=True, slots=True)
class _Served:
    """A form of the contract, plain and compressed.

    Parameters
    ----------
    media_type : str
        Its type. [text]
    plain, compressed : bytes
        As it is, and by gzip. [bytes]
    """

    media_type: str
    plain: bytes
    compressed: bytes


def _served(media_type: str, text: str) -> _Served:
    plain = text.encode("utf-8")
    return _Served(media_type, plain, gzip.compress(plain, mtime=0))  # the same bytes in every process


def _docs() -> str:
    """The page with a plain list of the operations; a click on one loads the interactive page in its place."""
    whole = document()
    parts = ["<h1>Kettlewright</h1><p><a href=\"#/\">Introduction, and all operations with a form to try them</a>; the "
             "whole contract as a file: <a href=\"openapi.yaml\">openapi.yaml</a>. Each operation below leads to its "
             "fields and its form.</p>"]
    for tag in whole["tags"]:
        rows = "".join(
            f"<li><a href=\"#/{tag['name']}/{entry['operationId']}\"><code>{method.upper()} {escape(path)}</code></a> "
            f"{escape(entry['summary'])}</li>"
            for path, item in whole["paths"].items() for method, entry in item.items() if tag["name"] in entry["tags"])
        parts.append(f"<h2>{tag['name']}</h2><p>{escape(tag['description'])}</p><ul>{rows}</ul>")
    return _DOCS.replace("OPERATIONS", "".join(parts))


@dataclass(frozen=True, slots=True)
class _Built:
    """Both forms of the contract, by their names in the address, and the page that lists the operations."""

    files: dict[str, _Served]
    page: str


def _built_here() -> _Built:
    compact = json.dumps(document(), ensure_ascii=False, separators=(",", ":"))
    return _Built({"openapi.yaml": _served("application/yaml", as_yaml()),
                   "openapi.json": _served("application/json", compact)}, _docs())


_source: list[Callable[[], _Built]] = [_built_here]


def build_in_child() -> None:
    """Let a child process build the contract, for this process and its later children: a third of the start."""
    _source[:] = [made_in_child(_built_here)]


@cache
def build() -> _Built:
    """The contract; built once and never by a request, which at most waits for it. [files]"""
    return _source[0]()


def _contract(name: str) -> Response:
    found = build().files[name]
    zipped = request.accept_encodings["gzip"] > 0
    reply = Response(found.compressed if zipped else found.plain, mimetype=found.media_type)
    if zipped:
        reply.headers["Content-Encoding"] = "gzip"
    reply.vary.add("Accept-Encoding")
    return cached(reply)


def register(app: Flask, home: Home) -> None:
    """Give an app these addresses; the contract is built now, unless a child process does it.

    Parameters
    ----------
    app : Flask
        The app. [app]
    home : callable
        Makes the first page and its content security policy, of what goes before every path and of examples: what each
        answers, and its address. [function]
    """
    if _source[0] is _built_here:
        build()

    @app.get("/openapi.yaml")
    def openapi_yaml() -> Response:
        return _contract("openapi.yaml")

    @app.get("/openapi.json")
    def openapi_json() -> Response:
        return _contract("openapi.json")

    @app.get("/docs")
    def docs() -> Response:
        return Response(build().page, mimetype="text/html", headers={"Content-Security-Policy": _DOCS_POLICY})

    @app.get("/docs/start.js")
    def docs_start() -> Response:
        return cached(Response(_START, mimetype="text/javascript"))

    @app.get("/docs/page.css")
    def docs_style() -> Response:
        return cached(Response(_PAGE_CSS, mimetype="text/css"))

    @app.get("/docs/assets/<name>")
    def docs_asset(name: str) -> Response:
        if name not in _ASSETS:
            abort(404)
        return send_from_directory(_DIST, name, conditional=True, etag=True)

    @app.get("/problems/<slug>")
    def problem_page(slug: str) -> Response:
        kind = next((kind for kind in ALL_KINDS if kind.slug == slug), None)
        if kind is None:
            abort(404)
        page = (f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{escape(kind.title)}</title></head>'
                f"<body><h1>{kind.status}: {escape(kind.title)}</h1><p>{escape(kind.page)}</p></body></html>\n")
        return cached(Response(page, mimetype="text/html"))

    @app.get("/")
    def entrance() -> Response:
        examples = [(OPERATIONS[name].summary, f"{address.partition('&field=')[0]}&format=html")
                    for name, address in CELLS.items() if name + BY_LINK in OPERATIONS]
        page, policy = home(request.script_root, examples)
        return cached(Response(page, mimetype="text/html", headers={"Content-Security-Policy": policy}))
