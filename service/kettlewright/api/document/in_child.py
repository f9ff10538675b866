"""Something that a child process makes while its parent goes on, and that the parent and its later children read."""

from __future__ import annotations

import mmap
import os
import pickle
import struct
import time
from collections.abc import Callable
from typing import TypeVar

__all__ = ["made_in_child"]

T = TypeVar("T")
_ROOM = 16 * 1024 * 1024  # bytes of address space; memory is only taken for what is written
_LENGTH = struct.Struct("Q")
_WAIT_SECONDS = 10.0


def made_in_child(make: Callable[[], T]) -> Callable[[], T]:
    """Begin to make something in a child process, which ends when it is done. No thread may run yet.

    Parameters
    ----------
    make : callable
        Makes it; it must be possible to pickle the result. [function]

    Returns
    -------
    callable : waits until it is there and gives it, in this process and its children. If the child fails or takes
        more than ten seconds, it is made where it is needed. [function]
    """
    shared = mmap.mmap(-1, _ROOM)
    if os.fork() == 0:
        try:
            made = pickle.dumps(make())
            shared[_LENGTH.size:_LENGTH.size + len(made)] = made
            shared[:_LENGTH.size] = _LENGTH.pack(len(made))  # last: it says that the rest is there
        finally:
            os._exit(0)  # nothing of the parent's may run here, such as what it does at its end

    def result() -> T:
        give_up = time.monotonic() + _WAIT_SECONDS
        while time.monotonic() < give_up:
            length, = _LENGTH.unpack(shared[:_LENGTH.size])
            if length:
                found: T = pickle.loads(shared[_LENGTH.size:_LENGTH.size + length])
                return found
            time.sleep(0.02)
        return make()

    return result
