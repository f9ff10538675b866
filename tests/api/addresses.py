"""Bodies written as addresses, by a writer of the tests' own: what the service reads must be the body again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any
from urllib.parse import quote

Body = Mapping[str, Any]


def address(operation: str, body: Body) -> str:
    """The address of a body, percent-encoded throughout."""
    return f"/v1/{operation}?" + "&".join(f"{key}={quote(value, safe='')}" for key, value in pairs(operation, body))


def pairs(operation: str, body: Body) -> Iterator[tuple[str, str]]:
    """Keys and values of a body's address."""
    for key, value in body.items():
        yield from _WRITERS.get((operation, key), _WRITERS.get(("", key), _one))(key, value)


def text(value: object) -> str:
    """A value as the grammar has it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return "".join("\\" + one if one in ",:\\" else one for one in str(value))


def parts(of: Body, *left_out: str) -> list[str]:
    """Named parts of an object, an object inside it with its name before; ranges by their ends."""
    found = []
    for name, value in of.items():
        if name in left_out:
            continue
        if isinstance(value, Mapping) and value.keys() == {"min", "max"}:
            found.append(f"{name}:{text(value['min'])}-{text(value['max'])}")
        elif isinstance(value, Mapping):
            found += [f"{name}_{inner}" for inner in parts(value)]
        else:
            found.append(f"{name}:{text(value)}")
    return found


def _one(key: str, value: Any) -> Iterator[tuple[str, str]]:
    yield key, ",".join(parts(value)) if isinstance(value, Mapping) else (
        text(value) if isinstance(value, bool) else str(value))


def _headed(name: str, *heads: str) -> Any:
    def write(key: str, value: Any) -> Iterator[tuple[str, str]]:
        for item in value if isinstance(value, list) else [value]:
            head = next(head for head in heads if head in item)
            yield name, ",".join([text(item[head]), *parts(item, head)])
    return write


def _listed(name: str) -> Any:
    def write(key: str, value: Any) -> Iterator[tuple[str, str]]:
        for item in value:
            yield name, ",".join(parts(item))
    return write


def _at_hand(key: str, value: Any) -> Iterator[tuple[str, str]]:
    for item in value:
        yield "at_hand", ",".join([text(item["name"]), *parts(item, "name", "mould"), *parts(item["mould"])])


def _portions(key: str, value: Any) -> Iterator[tuple[str, str]]:
    inside = ("name", "additions", "dusting", "borrows")
    for item in value:
        yield "portion", ",".join([text(item["name"]), *parts(item, *inside)])
    for item in value:
        to = f"to:{text(item['name'])}"
        for addition in item.get("additions", ()):
            yield "addition", ",".join([text(addition["name"]), to, *parts(addition, "name")])
        for lender in item.get("borrows", ()):
            yield "borrow", ",".join([text(lender["from"]), to, *parts(lender, "from")])
        if "dusting" in item:
            yield "dusting", ",".join([text(item["dusting"]["name"]), to, *parts(item["dusting"], "name")])


def _dates(key: str, value: Any) -> Iterator[tuple[str, str]]:
    yield "dates", ",".join(parts(value, "closed"))
    closed = value.get("closed", {})
    for word in (*closed.get("weekdays", ()), *closed.get("dates", ()),
                 *(f"{span['first']}..{span['last']}" for span in closed.get("spans", ()))):
        yield "closed", word


def _units(key: str, value: Any) -> Iterator[tuple[str, str]]:
    yield "units", ",".join(f"{kind}:{unit}" for kind, unit in value.items())


def _cut(key: str, value: Any) -> Iterator[tuple[str, str]]:
    for name, inner in value.items():
        yield from _one(name, inner)


def _inside(key: str, value: Any) -> Iterator[tuple[str, str]]:
    yield from pairs("", value)


_WRITERS = {
    ("", "fats"): _headed("fat", "fat", "name"), ("", "alkalis"): _headed("alkali", "alkali"),
    ("", "acids"): _headed("acid", "acid"), ("", "liquids"): _headed("liquid", "name"),
    ("", "mould"): _headed("mould", "shape"), ("", "limiting"): _headed("limiting", "key"),
    ("", "additions"): _headed("addition", "name"), ("", "units"): _units, ("scaling", "recipe"): _inside,
    ("scaling", "target"): _inside, ("moulds", "moulds"): _at_hand, ("portions", "portions"): _portions,
    ("batches", "recipe"): _inside, ("batches", "portions"): _portions, ("batches", "cut"): _cut,
    ("batches", "dates"): _dates,
    ("cure", "weighings"): _listed("weighing"), ("cure", "on"): _listed("on"), ("cure", "dates"): _dates,
}
