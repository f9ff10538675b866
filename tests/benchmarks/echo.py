"""The yardstick: a bare Flask app that reads the same JSON and writes a reply of the same size.

What a reply holds comes from a file written by the benchmark, so that reading and writing cost the same as ours and
only our own work makes the difference.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

from flask import Flask, Response, jsonify, request

app = Flask("echo", static_folder=None)
app.json.sort_keys = False
REPLIES = json.loads(Path(os.environ["ECHO_REPLIES"]).read_text(encoding="utf-8"))


@app.post("/<name>")
def echo(name: str) -> Response:
    """Read the body, answer with what was kept under `name`."""
    request.get_json()
    kept = REPLIES[name]
    return Response(kept, mimetype="text/html") if isinstance(kept, str) else jsonify(kept)


@app.get("/<name>")
def unchanged(name: str) -> Response:
    """The shortest reply there is: 304 to a caller who has it (`name` is not looked at)."""
    reply = Response(status=304)
    reply.set_etag(name)
    return reply
