"""What a page with the element needs: a service, and the page on another origin, both on loopback ports."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from kettlewright.app import create_app
from kettlewright.settings import read_settings
from werkzeug.serving import make_server

WEB = Path(__file__).resolve().parents[2] / "client" / "web"
WRITTEN_SERVICE = "http://127.0.0.1:8000"  # as the example page names it
TYPES = {".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css"}
FILES = {str(path.relative_to(WEB)) for path in [*WEB.glob("*.*"), *WEB.glob("element/*.js")]}
PLAIN = ('<!doctype html><html lang="{lang}"><head><meta charset="utf-8"><title>A page</title>'
         '<meta name="viewport" content="width=device-width, initial-scale=1">'
         '<script type="module" src="{script}"></script></head>'
         f'<body><main><h1>A page</h1><kettlewright-batch service="{WRITTEN_SERVICE}"></kettlewright-batch></main>'
         "</body></html>")
PAGES = {"plain.html": ("en", "kettlewright.min.js"), "source.html": ("en", "kettlewright.js"),
         "deutsch.html": ("de-AT", "kettlewright.min.js"), "francais.html": ("fr", "kettlewright.min.js"),
         "odd.html": ("en_US", "kettlewright.min.js")}


def policy(service: str) -> str:
    """The strictest policy the element is promised to run under."""
    return ("default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
            f"connect-src {service}; form-action {service}; base-uri 'none'")


@contextmanager
def running(server: Any) -> Iterator[str]:
    """A server in a thread; its origin."""
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def page_server(service: Callable[[], str]) -> ThreadingHTTPServer:
    """Serves client/web and plain pages under the strict policy, the service's address put in."""
    class Pages(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            name = self.path.split("?")[0].lstrip("/")
            file = WEB / name
            text = None
            if name in PAGES:
                lang, script = PAGES[name]
                text = PLAIN.replace("{lang}", lang).replace("{script}", script)
            elif name in FILES:
                text = file.read_text(encoding="utf-8")
            body = "" if text is None else text.replace(WRITTEN_SERVICE, service())
            self.send_response(200 if text is not None else 404)
            self.send_header("Content-Type", TYPES.get(file.suffix, "text/plain"))
            self.send_header("Content-Security-Policy", policy(service()))
            self.end_headers()
            self.wfile.write(body.encode())

        def log_message(self, *_: object) -> None:
            pass

    return ThreadingHTTPServer(("127.0.0.1", 0), Pages)


def service_for(pages: str) -> Any:
    """The service, whose replies the origin `pages` may read."""
    return make_server("127.0.0.1", 0, create_app(read_settings({"KETTLEWRIGHT_CORS_ORIGINS": pages})), threaded=True)
