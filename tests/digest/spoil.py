"""Requests changed in one place, so that many of them are refused."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any
from urllib.parse import parse_qsl, urlencode

from digest.draw import Body, Draw

__all__ = ["spoiled"]

Path = tuple[str | int, ...]
_FACTORS = (0.99, 1.01, 0.5, 2.0, 10.0, -1.0)
_ENDINGS = ("", " ", " ü", "x", "०", "'<b>")


def spoiled(draw: Draw, request: Body) -> Body:
    """A request with one change somewhere in its body, or else in its address (`draw`, `request`)."""
    made = copy.deepcopy(request)
    if made.get("body"):
        _change(draw, made["body"])
        return made
    path, _, query = made["path"].partition("?")
    pairs = parse_qsl(query)
    if pairs:
        place = draw.randrange(len(pairs))
        key, value = pairs[place]
        pairs[place] = draw.choice(((key, value + draw.choice(_ENDINGS)), (key + "x", value), (key, value[:-1])))
    else:
        pairs = [("no_such_key", "1")]
    made["path"] = f"{path}?{urlencode(pairs)}"
    return made


def _places(value: Any, way: Path = ()) -> Iterator[Path]:
    if way:
        yield way
    for key, item in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        yield from _places(item, (*way, key))


def _at(body: Any, way: Path) -> Any:
    for part in way:
        body = body[part]
    return body


def _change(draw: Draw, body: Body) -> None:
    # a plan goes with its identity: a changed plan would only be refused for that
    places = [way for way in _places(body) if "identity" not in body or way[0] not in ("plan", "identity")]
    numbers = [way for way in places if isinstance(_at(body, way), (int, float))]
    way = draw.choice(numbers if numbers and draw.chance(0.6) else places)
    holder, last = _at(body, way[:-1]), way[-1]
    value = holder[last]
    if isinstance(value, bool):
        holder[last] = not value
    elif isinstance(value, (int, float)):
        holder[last] = value + 1 if isinstance(value, int) and draw.chance(0.5) else value * draw.choice(_FACTORS)
    elif isinstance(value, str):
        holder[last] = value + draw.choice(_ENDINGS)
    elif isinstance(value, list) and value and draw.chance(0.6):
        value.append(copy.deepcopy(value[-1]))
    elif isinstance(holder, dict):
        del holder[last]
    else:
        holder.pop(last)
