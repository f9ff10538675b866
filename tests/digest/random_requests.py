"""Random requests over all operations, forms of reply, units and languages."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import Any
from urllib.parse import quote, urlencode

from api.addresses import address, pairs
from api.converting import TO_BASE, in_units
from kettlewright.api.door.operations import BY_LINK, OPERATIONS, Operation, run
from kettlewright.api.links.plans import link_of_plan
from kettlewright.app import create_app
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.reference.fats import fats
from marshmallow import ValidationError

from digest import pots, pours, sales
from digest.draw import Body, Draw
from digest.spoil import spoiled

__all__ = ["random_requests", "request_of"]

create_app()  # loads all operations
_UNITS = {"mass": ("g", "kg", "oz", "lb"), "dose": ("g", "oz"), "length": ("mm", "cm", "in"),
          "volume": ("mL", "L", "us_fl_oz"), "temperature": ("degC", "degF")}
_FORMS = {"json": 12, "csv": 4, "text": 2, "html": 4, "svg": 2, "ics": 2}

BODIES: Mapping[str, Callable[[Draw], Body]] = {
    "lye": pots.lye_request, "scaling": lambda draw: pots.scaling_request(draw, pours.mould(draw)),
    "moulds": pours.moulds_request, "portions": pours.portions_request, "fades": pours.fades_request,
    "cuts": pours.cuts_request, "cure": sales.cure_request, "schedules": sales.schedules_request,
    "blends": pots.blend_request, "labels": sales.labels_request, "costs": sales.costs_request,
    "purchases": sales.purchases_request,
    "batches": lambda draw: draw.choice((pours.batch, sales.batch_with_sale))(draw),
    "actuals": pours.batch, "rebatches": sales.rebatches_request}
"""What makes the body of an operation; of actuals, the plan."""
_HOW_OFTEN = {"lye": 3, "batches": 4, "schedules": 1, "fats": 2, "fat": 2}


def random_requests(count: int, seed: int, spoilt: float = 0.0) -> Iterator[Body]:
    """Requests that the service answers, nearly all of them but the spoilt.

    Parameters
    ----------
    count : int
        How many. [requests]
    seed : int
        The same seed makes the same requests, as long as the installed service plans the same batches: some requests
        contain parts of an earlier reply. [any number]
    spoilt : float
        Share of the requests that are changed in one place, most of which are refused. [0 to 1]

    Yields
    ------
    dict : `number`, and what `request_of` returns.
    """
    names = [name for name, found in OPERATIONS.items() if found.link is None]
    weights = [_HOW_OFTEN.get(name, 2 if OPERATIONS[name].request else 0.3) for name in names]
    for number in range(count):
        draw = Draw(f"{seed}/{number}")
        made = request_of(draw, draw.choices(names, weights)[0])
        yield {"number": number, **(spoiled(draw, made) if spoilt and draw.chance(spoilt) else made)}


def request_of(draw: Draw, name: str) -> Body:
    """A request of an operation (`draw`, `name`: of the operation, its twin by address among them).

    Returns
    -------
    dict : `operation`, `method`, `path` with its query, and where there is one `body` and `accept`. A quarter of the
        calculations that can be requested by their address are.
    """
    operation = OPERATIONS[name]
    if operation.request is None:
        return {"operation": name, **_look_up(draw, operation)}
    by_link = OPERATIONS.get(name.removesuffix(BY_LINK) + BY_LINK)
    for _ in range(50):
        body = _body(draw, name.removesuffix(BY_LINK))
        wanted = operation.link is not None or (by_link is not None and draw.chance(0.25))
        link = _link(by_link, body) if by_link is not None and wanted else ""
        if link:
            break
        if operation.link is None:
            return {"operation": name, **_in_form(draw, operation, "POST", operation.path, {},
                                                  partial(run, operation, body)), "body": body}
    assert by_link is not None
    return {"operation": by_link.name, **_in_form(draw, by_link, "GET", link, {}, partial(run, by_link, body))}


def _look_up(draw: Draw, operation: Operation) -> Body:
    query = _filters(draw) if operation.name == "fats" else {}
    if operation.name == "cautions" and draw.chance(0.5):
        query["locale"] = "de"
    key = draw.choice(sorted(fats()))
    reply = partial(run, operation, dict(query), {"key": key} if "{key}" in operation.path else None)
    return _in_form(draw, operation, "GET", operation.path.replace("{key}", key), query, reply)


def _body(draw: Draw, name: str) -> Body:
    """A body in some units and some language."""
    body = _that_is_planned(draw, name)
    if draw.chance(0.3):
        kinds = draw.some(tuple(_UNITS), 1, 5)
        units = {kind: draw.choice(_UNITS[kind]) if kind in kinds else _UNITS[kind][0] for kind in _UNITS}
        body = _in_units("batches" if name == "actuals" else name, body, units)
    if name == "actuals":
        body = sales.actuals_request(draw, body)
    if draw.chance(0.3):
        body["locale"] = draw.choice(("de", "de", "en"))
    return body


def _that_is_planned(draw: Draw, name: str) -> Body:
    """A body; its batch, where it needs the plan of one, is drawn again until the service plans it."""
    for _ in range(20):
        try:
            body = BODIES[name](draw)
            if name == "actuals":
                sales.plan_of(body)
        except (DomainError, DomainErrors, ValidationError):
            continue
        return body
    raise AssertionError(f"The service plans none of 20 batches drawn for {name}.")


def _in_units(name: str, body: Body, units: Mapping[str, str]) -> Body:
    """The same request in other units, with the usual scale of those units unless it has a scale of its own."""
    made = in_units(name, body, units)
    if "scale" in made and "scale" not in body:
        made.pop("scale")
    return _rounded(made)


def _rounded(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _rounded(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_rounded(one) for one in value]
    return float(f"{value:.7g}") if isinstance(value, float) else value


def _link(operation: Operation, body: Body) -> str:
    """The address that says the same as a body; empty where the addresses have no words for a part of it."""
    if operation.name == "batches" + BY_LINK:
        return link_of_plan(body).get("self", "")
    assert operation.link is not None
    name = operation.name.removesuffix(BY_LINK)
    try:
        read = operation.link.read(tuple(pairs(name, body)), limit_bytes=1_000_000)
    except Exception:  # the writer of addresses has no words for this body, or the reader none for that word
        return ""
    found = address(name, body)
    return found if read.body == body and len(found) < 4000 else ""


def _filters(draw: Draw) -> dict[str, Any]:
    made: dict[str, Any] = {
        "search": draw.choice(("olive", "palm", "butter", "sun")), "kind": "triglyceride",
        "saponification_value_min": draw.randint(170, 190), "iodine_value_max": draw.randint(60, 150),
        "fatty_acid": "C18:1"}
    return {key: made[key] for key in draw.some(tuple(made), 0, 2)}


def _in_form(draw: Draw, operation: Operation, method: str, path: str, query: dict[str, Any],
             reply: Callable[[], Body]) -> Body:
    """A request for one of the forms of a reply, by its address or by Accept."""
    forms = list(operation.forms)
    form = draw.choices(forms, [_FORMS[one] for one in forms])[0]
    made: Body = {"method": method}
    if form == "text":
        query["field"] = "problem" if draw.chance(0.1) else _some_field(draw, reply)
    elif form == "csv" and draw.chance(0.5):
        query["table"] = draw.choice(list(operation.tables))
    elif form != "json" or draw.chance(0.2):
        if draw.chance(0.3):
            made["accept"] = operation.forms[form]
        else:
            query["format"] = form
            if form in operation.faces and operation.faces[form].card is not None and draw.chance(0.2):
                query["form"] = "card"
    sign = "&" if "?" in path else "?"
    made["path"] = path + (sign + urlencode(query, quote_via=quote) if query else "")
    return made


def _some_field(draw: Draw, reply: Callable[[], Body]) -> str:
    try:
        found = sorted(_fields(reply(), ""))
    except Exception:  # a request that is refused is so in any form
        found = []
    return draw.choice(found) if found else "meta.version"


def _fields(value: Any, path: str) -> Iterator[str]:
    if isinstance(value, dict):
        for key, one in value.items():
            yield from _fields(one, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for place, one in enumerate(value):
            yield from _fields(one, f"{path}.{place}")
    elif value is not None:
        yield path


assert all(unit in TO_BASE for units in _UNITS.values() for unit in units)
