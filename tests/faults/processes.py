"""Faults of processes: restarts, kills, a process that does not move."""

from __future__ import annotations

import os
import signal
import time
from contextlib import suppress

from api.gunicorn import Running
from siege.load import kill, processes_of, start_again, terminate

from faults.scene import Fault, Scene, Start

__all__ = ["FAULTS"]

_STOPPED_S = 20.0


def _rolling_restart(scene: Scene) -> str:
    for one in scene.instances:
        terminate(one)
        start_again(one)
        time.sleep(1)
    return "three instances, one after another"


def _kill_workers(scene: Scene) -> str:
    for one in scene.instances:
        for worker in processes_of(one)[1:]:
            os.kill(worker, signal.SIGKILL)
        time.sleep(4)
    fresh = [len(processes_of(one)) - 1 for one in scene.instances]
    return f"gunicorn started new ones; workers then: {fresh}"


def _kill_instances(scene: Scene) -> str:
    for one in scene.instances:
        kill(one)
        time.sleep(2)
        start_again(one)
    return "each was away for 2 s and started again"


def _replace_workers(scene: Scene) -> str:
    time.sleep(15)
    ended = sum("Autorestarting worker" in str(line.get("message")) for one in scene.instances for line in one.lines())
    return f"{ended} workers replaced"


def _stop(one: Running, pids: list[int]) -> str:
    for pid in pids:
        os.kill(pid, signal.SIGSTOP)
    time.sleep(_STOPPED_S)
    for pid in pids:
        with suppress(ProcessLookupError):  # gunicorn may have killed it
            os.kill(pid, signal.SIGCONT)
    time.sleep(3)
    return f"workers before and after: {len(pids)} processes stopped, {len(processes_of(one)) - 1} workers there"


def _stop_instance(scene: Scene) -> str:
    one = scene.instances[0]
    return _stop(one, processes_of(one))


def _stop_worker(scene: Scene) -> str:
    one = scene.instances[0]
    return _stop(one, processes_of(one)[1:])


FAULTS = (
    Fault("rolling restart (SIGTERM)", _rolling_restart, curl_keeps_all=True),
    Fault("kill -9 of the worker of each instance", _kill_workers),
    Fault("kill -9 of each instance", _kill_instances),
    Fault("workers replaced after 100 to 200 requests", _replace_workers, curl_keeps_all=True,
          prepare=lambda _: Start(variables={"GUNICORN_CMD_ARGS": "--max-requests 100 --max-requests-jitter 100"},
                                  settings={"workers": "2"})),
    Fault("SIGSTOP of an instance for 20 s", _stop_instance),
    Fault("SIGSTOP of a worker for 20 s", _stop_worker),
)
