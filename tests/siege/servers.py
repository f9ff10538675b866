"""Real services on the loopback: gunicorn as it is configured, nginx before three."""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path

from api.gunicorn import Running, running

from siege.wire import HEALTH, exchange

__all__ = ["CONF", "Proxy", "has_nginx", "proxied", "proxy_before", "running"]

CONF = Path(__file__).resolve().parents[2] / "docker" / "proxy.conf"


def has_nginx() -> bool:
    """Whether nginx is installed here. [yes or no]"""
    return shutil.which("nginx") is not None


def _free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as free:
        return int(free.getsockname()[1])


class Proxy:
    """nginx with a configuration.

    Parameters
    ----------
    conf : Path
        Its configuration. [file]
    port : int
        Where it listens. [port]
    """

    def __init__(self, conf: Path, port: int) -> None:
        self.conf, self.port = conf, port
        self.start()

    def start(self) -> None:
        """Start it and wait until it answers."""
        self.process = subprocess.Popen(["nginx", "-c", str(self.conf), "-g", "daemon off;"], cwd=self.conf.parent)
        for _ in range(100):
            if exchange(self.port, HEALTH, timeout=1).status == 200:
                return
            time.sleep(0.05)
        self.stop()
        raise AssertionError(f"nginx did not answer; see {self.conf.parent}/error.log")

    def stop(self) -> None:
        """End it: it finishes what it serves (SIGQUIT), for 20 s at most."""
        self.process.send_signal(signal.SIGQUIT)
        try:
            self.process.wait(timeout=20)
        except subprocess.TimeoutExpired:
            self.process.terminate()
            self.process.wait(timeout=20)


@contextmanager
def proxy_before(folder: Path, ports: Sequence[int], *, unlimited: bool = False) -> Iterator[Proxy]:
    """nginx with `docker/proxy.conf` before instances.

    Parameters
    ----------
    folder : Path
        For its files. [folder]
    ports : sequence of int
        Of the instances, in place of the compose file's name. [ports]
    unlimited : bool
        Without the limits for each address: here all requests come from one. [yes or no]

    Yields
    ------
    Proxy
    """
    port = _free_port()
    text = CONF.read_text(encoding="utf-8")
    servers = "\n        ".join(f"server 127.0.0.1:{one} max_fails=0;" for one in ports)
    text, swapped = re.subn(r"server service:8000 max_fails=0;", servers, text)
    text, listens = re.subn(r"listen 8080;", f"listen 127.0.0.1:{port};", text)
    assert (swapped, listens) == (1, 1)
    text = text.replace("/tmp/nginx", f"{folder}/nginx").replace("/dev/stdout", f"{folder}/access.log")
    text = text.replace("/dev/stderr", f"{folder}/error.log")
    if os.geteuid() == 0:
        text = f"user {Path('/proc/self').owner()};\n{text}"
    if unlimited:
        text = re.sub(r"(?m)^\s*limit_(req|conn) (zone|together).*$", "", text)
    conf = folder / "nginx.conf"
    conf.write_text(text, encoding="utf-8")
    proxy = Proxy(conf, port)
    try:
        yield proxy
    finally:
        proxy.stop()


@contextmanager
def proxied(folder: Path, count: int = 3, *, app: str = "", unlimited: bool = False, prefix: Sequence[str] = (),
            variables: Mapping[str, str] | None = None, **settings: str) -> Iterator[tuple[Proxy, list[Running]]]:
    """Instances behind nginx.

    Parameters
    ----------
    folder : Path
        For logs and files. [folder]
    count : int
        Of instances. [instances]
    app : str
        Source of a module whose `make` makes the application; the service's own where empty. [text]
    unlimited : bool
        As of `proxy_before`. [yes or no]
    prefix, variables : sequence, mapping
        Of each instance, as of `running`. [text]
    settings : mapping
        Of each instance. [text]

    Yields
    ------
    tuple : the proxy, and the instances
    """
    with ExitStack() as stack:
        instances = []
        for number in range(count):
            one = folder / f"instance{number}"
            one.mkdir()
            (one / "made_app.py").write_text(app, encoding="utf-8")
            target = "made_app:make()" if app else "kettlewright.app:create_app()"
            instances.append(stack.enter_context(running(one, target, prefix=prefix, variables=variables,
                                                         **{"workers": "1", **settings})))
        proxy = stack.enter_context(proxy_before(folder, [one.port for one in instances], unlimited=unlimited))
        yield proxy, instances
