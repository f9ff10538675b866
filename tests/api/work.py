"""Work as a count, so that a test of how it grows does not hang on how busy the machine is.

Counted are the lines of our code that run, the items that built-in methods of lists look at, and every comparison and
hash of a text of the body.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

import kettlewright
import marshmallow

_COUNTED = (str(Path(kettlewright.__file__).parent), str(Path(marshmallow.__file__).parent))
_LOOK_AT_ALL = frozenset({"count", "index", "remove", "insert", "copy", "sort"})


class Counter:
    """A count that `Watched` texts add to."""

    total = 0


class Watched(str):
    """A text of a body whose comparisons are counted: `in` of a list runs in C, where no line is seen."""

    __slots__ = ()

    def __eq__(self, other: object) -> bool:
        Counter.total += 1
        return str.__eq__(self, other)

    def __ne__(self, other: object) -> bool:
        Counter.total += 1
        return str.__ne__(self, other)

    def __hash__(self) -> int:
        Counter.total += 1
        return str.__hash__(self)


def watched(value: Any) -> Any:
    """The same body, its texts watched."""
    if isinstance(value, dict):
        return {key: watched(item) for key, item in value.items()}
    if isinstance(value, list):
        return [watched(item) for item in value]
    return Watched(value) if isinstance(value, str) else value


def work_of(task: Callable[[], Any]) -> int:
    """How much work a task is, whether it succeeds or is refused."""
    ours: dict[CodeType, bool] = {}

    def lines(frame: FrameType, event: str, _arg: Any) -> Any:
        Counter.total += event == "line"
        return lines

    def calls(frame: FrameType, event: str, _arg: Any) -> Any:
        code = frame.f_code
        if code not in ours:
            ours[code] = code.co_filename.startswith(_COUNTED)
        return lines if ours[code] else None

    def built_in(frame: FrameType, event: str, arg: Any) -> None:
        if event == "c_call" and arg.__name__ in _LOOK_AT_ALL and isinstance(arg.__self__, (list, tuple)):
            Counter.total += len(arg.__self__)

    Counter.total = 0
    before = sys.gettrace(), sys.getprofile()
    sys.settrace(calls)
    sys.setprofile(built_in)
    try:
        task()
    except (ValueError, marshmallow.ValidationError):  # a refusal
        pass
    finally:
        sys.settrace(before[0])
        sys.setprofile(before[1])
    return Counter.total


def growth(task: Callable[[int], Callable[[], Any]], n: int) -> float:
    """How the work of a task grows: what the second doubling adds over what the first adds; 2 of a straight line, 2.2
    of n log n, 4 of a square. 0 where the work hardly grows."""
    work_of(task(4 * n))  # what is made once and kept is not counted
    small, middle, large = (work_of(task(size)) for size in (n, 2 * n, 4 * n))
    first, second = middle - small, large - middle
    return 0.0 if second < 4 * n else second / max(first, 1)
