"""Pages of other origins (CORS, as the Fetch standard has it), and OPTIONS, which is never refused.

Without the setting no page of another origin reads a reply. There are no cookies and no credentials that a browser
adds, so none is ever allowed; a page may send a key that it has, in Authorization. A POST must be JSON. A page can send
either only after a preflight request.
"""

from __future__ import annotations

from flask import Response, request
from flask.globals import request_ctx

__all__ = ["options_reply", "shared"]

_EXPOSED = "ETag, Retry-After, X-Request-ID"
_TAKEN = "Accept, Authorization, Content-Type, If-None-Match, X-Request-ID"
_MAX_AGE_S = "7200"


def options_reply() -> Response | None:
    """What OPTIONS is answered: the methods of this address; None where there is nothing at it."""
    adapter = request_ctx.url_adapter
    methods = sorted(adapter.allowed_methods()) if adapter is not None else []
    if request.path.strip("/") == "*":  # of the service as a whole
        methods = ["GET", "HEAD", "OPTIONS", "POST"]
    if not methods:
        return None
    reply = Response(status=204, headers={"Allow": ", ".join(methods), "Cache-Control": "no-store"})
    del reply.headers["Content-Type"]  # there is no content
    return reply


def shared(reply: Response, origins: tuple[str, ...]) -> Response:
    """A reply, with leave to read it for pages of the origins that have it.

    Parameters
    ----------
    reply : Response
        Any, a problem too. [reply]
    origins : tuple of str
        Those of the setting; "*" for all. [origins]

    Returns
    -------
    Response
    """
    if not origins:
        return reply
    reply.vary.add("Origin")
    origin = request.headers.get("Origin")
    if origin is None or not {"*", origin} & set(origins):
        return reply
    reply.headers["Access-Control-Allow-Origin"] = "*" if "*" in origins else origin
    reply.headers["Access-Control-Expose-Headers"] = _EXPOSED
    if request.method == "OPTIONS" and "Access-Control-Request-Method" in request.headers:
        reply.headers["Access-Control-Allow-Methods"] = reply.headers.get("Allow", "")
        reply.headers["Access-Control-Allow-Headers"] = _TAKEN
        reply.headers["Access-Control-Max-Age"] = _MAX_AGE_S
    return reply
