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
from importlib import import_module
from typing import Any

from kettlewright.api.door import metrics
from kettlewright.api.door.logs import RequestLog, log_settings
from kettlewright.keys import BadKeyFile, keys_of, read_again
from kettlewright.settings import BadSetting, check_addresses, read_settings

_ARENA_MAX, _TRIM_THRESHOLD, _MMAP_THRESHOLD = -8, -1, -3  # malloc.h of the GNU C library
_HEAP_OPTIONS = {_ARENA_MAX: 1, _TRIM_THRESHOLD: 65_536, _MMAP_THRESHOLD: 65_536}  # heaps; bytes
_log = logging.getLogger("kettlewright")
_settings = read_settings()
if _settings.data:  # read by the main process; workers inherit it
    from kettlewright.api.coop.served import load_data

    load_data(_settings.data)

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
    _return_memory()
    try:
        check_addresses(server.address, _settings)
        if _settings.key_file:
            keys_of(_settings.key_file)
        if _settings.metrics:
            metrics.prepare(_settings.metrics)
    except (BadSetting, BadKeyFile) as error:
        sys.exit(f"Error: {error}")
    _make_application(server.app)


def _make_application(loader: Any) -> None:
    """Make the application that all workers inherit (`loader`: gunicorn's, which keeps it). Two children take a part
    each meanwhile: the templates, while the maths is imported, and the contract, while the workers start. gunicorn's
    own `preload_app` would make the application before either could begin."""
    gc.disable()  # nearly all that an import makes stays: looking for garbage again and again is a tenth of its time
    from kettlewright.api.document.in_child import made_in_child
    from kettlewright.views import compiled_templates, use_compiled

    templates = made_in_child(compiled_templates)
    from kettlewright.api.document import documents

    import_module("kettlewright.app")
    documents.build_in_child()
    use_compiled(templates())
    loader.wsgi()
    # what is there now stays shared with the workers: their collector does not look at it, and so does not write to it
    gc.enable()
    gc.collect()
    gc.freeze()


def _return_memory() -> None:
    """Let the C library give memory back: all threads share one heap, of which no more than 64 kB stay free at its end,
    and larger blocks are the system's again as soon as they are freed. As it is, a heap for each thread keeps what its
    largest reply took. Workers inherit this, and no environment has to have it."""
    with contextlib.suppress(OSError, AttributeError):  # a C library other than GNU's does not know the function
        library = ctypes.CDLL(None)
        for option, value in _HEAP_OPTIONS.items():
            library.mallopt(option, value)


def on_reload(server: Any) -> None:
    """Called by gunicorn in its main process at SIGHUP, before it starts new workers (`server`)."""
    if _settings.key_file:
        read_again(_settings.key_file)
    if _settings.data:
        _read_data_again(server.app)


def _read_data_again(loader: Any) -> None:
    """Let new workers serve the data as they are now, if these can be used (`loader`: gunicorn's)."""
    from kettlewright.api.coop.folder import BadData
    from kettlewright.api.coop.served import reload_data

    try:
        version = reload_data(_settings.data).version
        loader.callable = loader.load()  # the application of before serves the data of before
    except Exception as error:  # whatever it is, it must not end the main process
        for line in str(error).splitlines() if isinstance(error, BadData) else ():
            _log.error("%s", line.strip())
        _log.error("the data folder was not read again; the version before is still served",
                   exc_info=None if isinstance(error, BadData) else error)
    else:
        _log.info("data folder read again: digest %s, date %s", version.digest, version.date)


def post_worker_init(worker: Any) -> None:
    """Called by gunicorn in each worker that has loaded the application (`worker`)."""
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
