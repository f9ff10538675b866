"""gunicorn's settings: gunicorn -c python:kettlewright.gunicorn_conf "kettlewright.app:create_app()"."""

from __future__ import annotations

import contextlib
import ctypes
import gc
import logging
import os
import signal
import sys
from functools import partial
from typing import Any

from kettlewright.api.coop.folder import BadData
from kettlewright.api.coop.served import load_data, reload_data
from kettlewright.api.document import documents
from kettlewright.api.door import metrics
from kettlewright.api.door.logs import RequestLog, log_settings
from kettlewright.keys import BadKeyFile, keys_of, read_again
from kettlewright.settings import BadSetting, check_addresses, read_settings

_M_ARENA_MAX = -8  # malloc.h of the GNU C library
_log = logging.getLogger("kettlewright")
_settings = read_settings()
load_data(_settings.data)  # by the main process; workers inherit it

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
logger_class = RequestLog
logconfig_dict = log_settings(_settings.log_level)


def on_starting(server: Any) -> None:
    """Called by gunicorn in its main process (`server`) before it listens; workers inherit what is built here."""
    from kettlewright.app import create_app

    _few_arenas()
    try:
        check_addresses(server.address, _settings)
        if _settings.key_file:
            keys_of(_settings.key_file)
        if _settings.metrics:
            metrics.prepare(_settings.metrics)
    except (BadSetting, BadKeyFile) as error:
        sys.exit(f"Error: {error}")
    documents.build_in_child()
    create_app(_settings)  # what it compiles and reads stays; a worker is then ready in a tenth of the time
    # what is there now stays shared with the workers: their collector does not look at it, and so does not write to it
    gc.collect()
    gc.freeze()


def _few_arenas() -> None:
    """Let the threads of a worker share two heaps of the C library: one for each would keep 15 MB more in a worker."""
    with contextlib.suppress(OSError, AttributeError):  # a C library other than GNU's does not know the function
        ctypes.CDLL(None).mallopt(_M_ARENA_MAX, 2)


def on_reload(_server: Any) -> None:
    """Called by gunicorn in its main process at SIGHUP, before it starts new workers."""
    if _settings.key_file:
        read_again(_settings.key_file)
    if _settings.data:
        _read_data_again()


def _read_data_again() -> None:
    try:
        version = reload_data(_settings.data).version
    except Exception as error:  # whatever it is, it must not end the main process
        for line in str(error).splitlines() if isinstance(error, BadData) else ():
            _log.error("%s", line.strip())
        _log.error("the data folder was not read again; the version before is still served",
                   exc_info=None if isinstance(error, BadData) else error)
    else:
        _log.info("data folder read again: digest %s, date %s", version.digest, version.date)


def post_worker_init(worker: Any) -> None:
    """Called by gunicorn in each worker that has loaded the application (`worker`)."""
    sys.setswitchinterval(0.0002)  # beside heavy calculations a probe has its turn 25 times as often
    slots = worker.wsgi.extensions["kettlewright_slots"]
    # the worker ends as at any other stop: it finishes what it serves, and gunicorn starts another
    slots.when_stuck = partial(os.kill, os.getpid(), signal.SIGTERM)
    slots.stopping = lambda: not worker.alive
    if _settings.metrics:
        try:
            counts = metrics.Counts(_settings.metrics, worker.wsgi.view_functions)
        except OSError as error:
            _log.error("this worker counts nothing for /metrics: %s", error.strerror)
        else:
            RequestLog.count = staticmethod(counts.add)


def child_exit(_server: Any, worker: Any) -> None:
    """Called by gunicorn in its main process after a worker has ended (`worker`)."""
    if _settings.metrics:
        metrics.add_ended(_settings.metrics, worker.pid)
