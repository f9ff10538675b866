"""Every pointer of every problem leads to a field of the request, or to where a missing field belongs."""

from __future__ import annotations

import copy
import random
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from kettlewright.api.document import openapi
from kettlewright.api.door.operations import OPERATIONS
from kettlewright.api.door.strict import Part, Union
from marshmallow import Schema

POSTS = {found.path: found for found in OPERATIONS.values() if found.method == "POST"}
EXAMPLES = [(found.path, example["title"], example["body"]) for found in POSTS.values()
            for example in openapi.examples_of(found.name)]
SPOILT = [None, True, "", "x", "zzzz", -1, 0, 1e-9, 1e9, 1e300, [], {}, [{}], {"min": 5, "max": 1}, "NaN", "2027-02-30"]
TRIES = 60


def ways(value: Any, way: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Paths of everything inside a body."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, child in inner:
        yield (*way, key)
        yield from ways(child, (*way, key))


def at(body: Any, way: tuple[str | int, ...]) -> Any:
    for part in way:
        body = body[part]
    return body


def spoil(body: Any, chance: random.Random) -> Any:
    """The body with one to three things left out, put in place of another, doubled, or moved."""
    made = copy.deepcopy(body)
    for _ in range(chance.randint(1, 3)):
        everywhere = list(ways(made))
        if not everywhere:
            return made
        *before, last = chance.choice(everywhere)
        holder, kind = at(made, tuple(before)), chance.randrange(5)
        if kind == 0:
            del holder[last]
        elif kind == 1:
            holder[last] = chance.choice(SPOILT)
        elif kind == 2:
            holder[last] = copy.deepcopy(at(made, chance.choice(everywhere)))
        elif isinstance(holder, list):
            holder.append(copy.deepcopy(holder[last]))
        elif isinstance(holder[last], (int, float)) and not isinstance(holder[last], bool):
            holder[last] *= chance.choice([0.001, 0.1, 0.5, 2, 10, 1000])
        else:
            holder[chance.choice([*holder, "unheard_of"])] = copy.deepcopy(holder[last])
    return made


def fields_of(field: Any, value: Any) -> dict[str, Any] | None:
    """The fields that the contract knows in an object; None where the field holds no object."""
    if isinstance(field, Union):
        word = value.get(field.key) if isinstance(value, dict) else None
        known = field.members.get(word) if isinstance(word, str) else None
        schemas = [known] if known is not None else list(field.members.values())
    elif isinstance(field, Schema):
        schemas = [field]
    elif isinstance(field, Part):
        schemas = [field.schema]
    else:
        return None
    return {one.data_key or name: one for schema in schemas for name, one in schema.load_fields.items()}


def misled(pointer: str, schema: Schema, body: Any) -> str:
    """What is wrong with a pointer; empty where it leads to a field or to the place of a missing one."""
    if pointer == "":
        return ""
    if not pointer.startswith("/"):
        return "does not start at the body"
    field: Any = schema
    parts = [part.replace("~1", "/").replace("~0", "~") for part in pointer[1:].split("/")]
    for number, part in enumerate(parts):
        last = number == len(parts) - 1
        if isinstance(body, list):
            if not part.isdecimal() or int(part) >= len(body):
                return f"{part} is no place of a list of {len(body)}"
            body, field = body[int(part)], getattr(field, "inner", None)
            continue
        if not isinstance(body, dict):
            return f"{part} is inside something that is no object"
        known = fields_of(field, body) or {}
        if part in body:  # a field that is not known may be pointed at: that is what is wrong with it
            body, field = body[part], known.get(part)
        elif part in known and last:
            return ""
        elif part in known and isinstance(known[part], (Part, Union)):
            body, field = {}, known[part]  # a field of an object that is missing as a whole
        else:
            return f"{part} is neither there nor a field of the contract"
    return ""


@pytest.mark.parametrize(("path", "title", "body"), EXAMPLES, ids=[f"{path} {title}" for path, title, _ in EXAMPLES])
def test_every_pointer_leads_somewhere(client: FlaskClient, path: str, title: str, body: Any) -> None:
    schema, chance = POSTS[path].request, random.Random(f"{path} {title}")
    wrong = {}
    for _ in range(TRIES):
        sent = spoil(body, chance)
        reply = client.post(path, json=sent)
        assert reply.status_code in (200, 422), (sent, reply.text)
        if reply.status_code == 422:
            for fault in (reply.json or {})["errors"]:
                why = misled(fault["pointer"], schema, sent)
                if why:
                    wrong[fault["pointer"]] = (why, fault["detail"])
    assert not wrong


def test_the_check_itself_sees_what_leads_nowhere() -> None:
    schema = POSTS["/v1/lye"].request
    body = {"fats": [{"fat": "olive"}]}
    assert [bool(misled(pointer, schema, body)) for pointer in (
        "/fats/0/mass", "/fats/0/fat", "/water", "/water/water_to_alkali", "", "/fats")] == [False] * 6
    assert all(misled(pointer, schema, body) for pointer in (
        "/fats/1/mass", "/fats/0/weight", "/fats/0/fat/x", "/fat", "fats", "/fats/x"))
