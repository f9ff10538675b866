"""What a fault is put to: three instances behind nginx, under load by curl and by our client."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from api.gunicorn import Running
from siege.servers import Proxy

__all__ = ["Fault", "NotRun", "Scene", "is_root"]


class NotRun(Exception):
    """A fault cannot be made on this machine; says what is missing."""


@dataclass(frozen=True)
class Scene:
    """What is there.

    Parameters
    ----------
    folder : Path
        For files of the fault. [folder]
    proxy : Proxy
        Before the instances. [nginx]
    instances : sequence of Running
        Three. [instances]
    """

    folder: Path
    proxy: Proxy
    instances: Sequence[Running]


@dataclass(frozen=True)
class Fault:
    """One row of the table.

    Parameters
    ----------
    name : str
        What was tried. [text]
    act : callable
        Does it, under load; says what came of it, or nothing. [function]
    prepare : callable
        Makes the `Start` of the instances, from a folder. [function]
    client_keeps_all, curl_keeps_all : bool
        None of the calls of our client, or of curl, may be lost. [yes or no]
    """

    name: str
    act: Callable[[Scene], str]
    prepare: Callable[[Path], Start] = field(default=lambda _: Start())
    client_keeps_all: bool = True
    curl_keeps_all: bool = False


@dataclass(frozen=True)
class Start:
    """How instances are started.

    Parameters
    ----------
    prefix : sequence of str
        Goes before the command. [words]
    variables : mapping
        More of the environment. [text]
    settings : mapping
        Of the service, without the KETTLEWRIGHT_ of their names. [text]
    headers : mapping
        Of every request. [text]
    undo : callable
        When the instances have ended. [function]
    """

    prefix: Sequence[str] = ()
    variables: Mapping[str, str] = field(default_factory=dict)
    settings: Mapping[str, str] = field(default_factory=dict)
    headers: Mapping[str, str] = field(default_factory=dict)
    undo: Callable[[], None] = lambda: None


def is_root() -> bool:
    """Whether mounts, control groups and packet filters may be used. [yes or no]"""
    return os.geteuid() == 0
