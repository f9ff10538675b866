"""Faults of the network: the proxy restarts, clients are slow, connections are half open, packets vanish."""

from __future__ import annotations

import shutil
import signal
import socket
import subprocess
import time
from contextlib import suppress

from siege.slow_clients import STARTS, probes_beside_slow_clients

from faults.scene import Fault, NotRun, Scene, is_root

__all__ = ["FAULTS"]

_TCP_REPAIR = 19  # Linux: a socket in repair mode is closed without a word to the other side (tcp(7) does not list it)


def _reload_proxy(scene: Scene) -> str:
    for _ in range(3):
        scene.proxy.process.send_signal(signal.SIGHUP)
        time.sleep(2)
    return "three times"


def _restart_proxy(scene: Scene) -> str:
    begun = time.monotonic()
    scene.proxy.stop()
    scene.proxy.start()
    away = time.monotonic() - begun
    time.sleep(2)
    return f"{away:.2f} s until it answered again"


def _stop_proxy(scene: Scene) -> str:
    scene.proxy.stop()
    time.sleep(2)
    scene.proxy.start()
    time.sleep(3)
    return "nobody listened for 2 s; the client repeats a refused connection for about 0.6 s (retries=2)"


def _slow_clients(scene: Scene) -> str:
    probes = probes_beside_slow_clients(scene.proxy.port, 200, 10.0)
    return f"probes beside them: {probes.lost} of {len(probes.answers)} lost"


def _half_open(scene: Scene) -> str:
    if not is_root():
        raise NotRun("closing a connection without a word needs root")
    left = 0
    for number in range(200):
        connection = socket.create_connection(("127.0.0.1", scene.proxy.port), timeout=2)
        connection.sendall(STARTS[number % len(STARTS)])
        with suppress(OSError):
            connection.setsockopt(socket.IPPROTO_TCP, _TCP_REPAIR, 1)
            left += 1
        connection.close()
    time.sleep(10)
    return f"{left} connections whose client vanished without a FIN"


def _no_packets(scene: Scene) -> str:
    if not is_root() or shutil.which("iptables") is None:
        raise NotRun("needs root and iptables")
    rule = ["INPUT", "--in-interface", "lo", "--protocol", "tcp", "--dport", str(scene.instances[0].port), "--jump",
            "DROP"]
    done = subprocess.run(["iptables", "-w", "--insert", *rule], capture_output=True, text=True)
    if done.returncode:
        raise NotRun(f"iptables: {done.stderr.strip()}")
    try:
        time.sleep(10)
    finally:
        subprocess.run(["iptables", "-w", "--delete", *rule], check=True)
    time.sleep(3)
    return "its packets were dropped (iptables), so that the proxy's connections to it were half open"


FAULTS = (
    Fault("proxy reloaded (SIGHUP)", _reload_proxy, curl_keeps_all=True),
    Fault("proxy restarted (SIGQUIT, started again)", _restart_proxy),
    Fault("proxy away for 2 s", _stop_proxy, client_keeps_all=False),
    Fault("200 slow clients for 10 s", _slow_clients, curl_keeps_all=True),
    Fault("200 half-open connections of clients", _half_open, curl_keeps_all=True),
    Fault("an instance away from the network for 10 s", _no_packets),
)
