"""The application: wires, and nothing else."""

from __future__ import annotations

import re
import uuid
from collections.abc import Callable
from datetime import datetime
from functools import partial

from flask import Flask, Response, g, request

from kettlewright import __version__
from kettlewright.api import endpoints
from kettlewright.api.coop.served import load_data, serve_data
from kettlewright.api.document import documents
from kettlewright.api.door import cross_origin, guards, metrics
from kettlewright.api.door.access_record import current_record, measured
from kettlewright.api.door.gate import Gate, utc_now
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.api.door.problems import Problem, register_problems
from kettlewright.api.door.quick_init import quicken
from kettlewright.api.door.serving import register_operations
from kettlewright.keys import keys_of
from kettlewright.languages import warm_up
from kettlewright.reference import DATA_VERSION
from kettlewright.settings import Settings, read_settings
from kettlewright.views import compile_templates, home_page, page_policy, problem_page

__all__ = ["create_app"]

_POLICY = "default-src 'none'; style-src 'self'; frame-ancestors 'none'"
_REQUEST_ID = re.compile(r"[A-Za-z0-9._-]{1,64}")


def create_app(settings: Settings | None = None, *, clock: Callable[[], datetime] = utc_now) -> Flask:
    """The WSGI application.

    Parameters
    ----------
    settings : Settings, optional
        Those of the environment where not given. [settings]
    clock : callable
        The time now, for the expiry and the quotas of keys. [function]

    Returns
    -------
    Flask

    Raises
    ------
    BadSetting : an environment variable cannot be used.
    BadKeyFile : the key file cannot be used.
    BadData : the data folder has errors.
    """
    chosen = settings or read_settings()
    if chosen.key_file:
        keys_of(chosen.key_file)  # now, so that a broken file stops the start
    gate = Gate(partial(keys_of, chosen.key_file) if chosen.key_file else None, clock)
    data = load_data(chosen.data)
    app = Flask("kettlewright", static_folder=None)
    app.wsgi_app = measured(app.wsgi_app)  # type: ignore[method-assign, assignment]  # as Flask's manual does it
    app.url_map.merge_slashes = False
    app.url_map.strict_slashes = True
    app.json.sort_keys = False  # type: ignore[attr-defined]  # the default provider has it

    @app.before_request
    def _take_in() -> Response | None:
        given = request.headers.get("X-Request-ID", "")
        g.request_id = given if _REQUEST_ID.fullmatch(given) else uuid.uuid4().hex
        current_record().operation = request.endpoint
        guards.check_host(request, chosen)
        if request.method == "OPTIONS":
            return cross_origin.options_reply()
        guards.check_site(request, chosen)
        gate.check(request, current_record())
        length = len(request.environ.get("RAW_URI") or request.full_path)
        if length > chosen.max_url_length:
            known = request.path in {found.path for found in OPERATIONS.values() if found.method == "POST"}
            advice = f"Send it as POST {request.path} with a JSON body." if known else "Shorten it."
            raise Problem(414, f"The address has {length:,} characters; at most {chosen.max_url_length:,} are taken. "
                          f"{advice}")
        return None

    @app.after_request
    def _give_out(reply: Response) -> Response:
        reply.headers["X-Request-ID"] = g.get("request_id") or uuid.uuid4().hex
        traceparent = current_record().traceparent
        if traceparent is not None:
            reply.headers["traceparent"] = traceparent
        if data is not None and reply.cache_control.public and request.path.startswith("/v1/"):
            reply.headers["Cache-Control"] = "public, no-cache"  # after a reload of the data it is another reply
        if current_record().key_name is not None and reply.cache_control.public:
            reply.cache_control.public = False
            reply.cache_control.private = True  # a shared cache would give it to those who have no key
        reply.headers["X-Content-Type-Options"] = "nosniff"
        reply.headers["Referrer-Policy"] = "no-referrer"
        reply.headers.setdefault("Content-Security-Policy", _POLICY)
        return cross_origin.shared(reply, chosen.cors_origins)

    if data is not None:
        app.wsgi_app = serve_data(app.wsgi_app, data)  # type: ignore[method-assign]  # as above
    quicken("kettlewright")
    warm_up()
    compile_templates()
    register_problems(app, lambda problem: (problem_page(problem), page_policy()))
    assert endpoints  # importing them registered their operations
    register_operations(app, chosen)
    if chosen.metrics:
        metrics.register(app, chosen.metrics, __version__, DATA_VERSION)
    documents.register(app, lambda base, examples: (
        home_page(base, __version__, DATA_VERSION, examples), page_policy()))
    return app
