"""gunicorn's settings: gunicorn -c python:kettlewright.gunicorn_conf "kettlewright.app:create_app()"."""

from __future__ import annotations

import logging
import os
import signal
from functools import partial
from typing import Any

from kettlewright.settings import read_settings

_settings = read_settings()

bind = _settings.listen
workers = _settings.workers
threads = _settings.threads
worker_class = "gthread"
timeout = 15
graceful_timeout = _settings.heavy_seconds + 5  # a calculation that was begun is finished or stopped first
keepalive = 75  # longer than a balancer keeps an idle connection, so that it is never the service that hangs up
limit_request_line = 8190  # above our own limit, so that a long address gets our problem and not an HTML page
limit_request_fields = 50
limit_request_field_size = 4096
max_requests = 20_000
max_requests_jitter = 2_000
worker_tmp_dir = "/dev/shm" if os.path.isdir("/dev/shm") else None
control_socket_disable = True  # it would be made in the home folder, which a read-only container does not have
loglevel = _settings.log_level
accesslog = "-"
# the path without its query: a query may hold a recipe
access_log_format = '{"time":"%(t)s","method":"%(m)s","path":"%(U)s","status":%(s)s,"microseconds":%(D)s}'


class _NoProbes(logging.Filter):
    """Leaves the probes out of the access log."""

    def filter(self, record: logging.LogRecord) -> bool:
        args: Any = record.args
        return not (isinstance(args, dict) and args.get("U") in ("/healthz", "/readyz"))


class _NoQueries(logging.Filter):
    """Cuts off what stands behind a question mark: gunicorn quotes the line of a request that it cannot read."""

    def filter(self, record: logging.LogRecord) -> bool:
        text = record.getMessage()
        if "?" in text:
            record.msg, record.args = f"{text.partition('?')[0]}?...", ()
        return True


def when_ready(server: Any) -> None:
    """Called by gunicorn once it listens (`server`)."""
    _add_filters(server.log)


def post_fork(server: Any, worker: Any) -> None:
    """Called by gunicorn in each worker (`server`, `worker`)."""
    _add_filters(worker.log)


def post_worker_init(worker: Any) -> None:
    """Called by gunicorn in each worker that has loaded the application (`worker`)."""
    # the worker ends as at any other stop: it finishes what it serves, and gunicorn starts another
    worker.wsgi.extensions["kettlewright_slots"].when_stuck = partial(os.kill, os.getpid(), signal.SIGTERM)


def _add_filters(log: Any) -> None:
    log.access_log.addFilter(_NoProbes())
    log.error_log.addFilter(_NoQueries())
