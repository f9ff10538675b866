"""A whole batch in one address: its JSON body, deflated and in letters that an address takes.

    plan = version, then base64url (RFC 4648, 5) without padding of zlib (RFC 1950) of the body in UTF-8

The version is one character, so that a link of a later form is refused and not misread. Such a link holds a recipe:
whoever has it can read it.
"""

from __future__ import annotations

import base64
import json
import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kettlewright.api.door.address import Pairs
from kettlewright.api.door.by_address import BodyFromLink, Path
from kettlewright.api.door.problems import Problem
from kettlewright.api.door.strict_json import read_object
from kettlewright.api.links.keys import Link, parameters_of
from kettlewright.api.links.reading import UnknownKey, read_link
from kettlewright.errors import DomainError, DomainErrors, OutOfRange, one_of

__all__ = ["LINK_LENGTH_MAX", "BatchReader", "link_of_plan", "unpack_plan"]

VERSION = "1"
LINK_LENGTH_MAX = 2_048
"""Characters of an address that every spreadsheet takes. [characters]"""

_encoder = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"))
_READ_AGAIN = "Take the link again from where it was made, all of it; or send the body as POST /v1/batches."


def link_of_plan(body: Mapping[str, Any]) -> dict[str, str]:
    """What a reply says of its own address.

    Parameters
    ----------
    body : mapping
        The body of the request. [as in JSON]

    Returns
    -------
    dict : `self`, or a `note` where it would be too long
    """
    text = _encoder.encode(body).encode()
    packed = base64.urlsafe_b64encode(zlib.compress(text, 9)).rstrip(b"=").decode("ascii")
    link = f"/v1/batches?plan={VERSION}{packed}"
    if len(link) > LINK_LENGTH_MAX:
        return {"message": f"This plan is too long for a link: its address would have {len(link):,} characters, and "
                        f"{LINK_LENGTH_MAX:,} are what every spreadsheet takes. Keep its body and send it as POST."}
    return {"self": link}


def unpack_plan(plan: str, *, limit_bytes: int) -> dict[str, Any]:
    """The body in a plan.

    Parameters
    ----------
    plan : str
        As in the address. [text]
    limit_bytes : int
        The largest body taken; no more is ever inflated. [bytes]

    Returns
    -------
    dict

    Raises
    ------
    DomainError : of another version.
    Problem : 400 for what cannot be read, 413 for a body above the limit.
    UnreadableBody : what is packed is not one JSON object.
    """
    if plan[:1] != VERSION:
        raise OutOfRange(f'A plan of version "{plan[:1]}" is not known here; those of this service begin with '
                         f'"{VERSION}". It may come from a newer service. {_READ_AGAIN}', field=("plan",))
    letters = plan[1:]
    if not re.fullmatch(r"[A-Za-z0-9_-]+", letters) or len(letters) % 4 == 1:
        raise Problem(400, f"The plan in this address is cut short or altered. {_READ_AGAIN}")
    inflating = zlib.decompressobj()
    try:
        body = inflating.decompress(base64.urlsafe_b64decode(letters + "=" * (-len(letters) % 4)), limit_bytes + 1)
    except zlib.error:
        raise Problem(400, f"The plan in this address is cut short or altered. {_READ_AGAIN}") from None
    if len(body) > limit_bytes:
        raise Problem(413, f"The plan in this address holds more than {limit_bytes:,} bytes; send a smaller one.")
    if not inflating.eof or inflating.unused_data or inflating.unconsumed_tail:
        raise Problem(400, f"The plan in this address is cut short or altered. {_READ_AGAIN}")
    return read_object(body)


class _PackedPlan(BodyFromLink):
    """A body whose every part was said by the one key."""

    __slots__ = ()

    def place(self, path: Path) -> Path:
        """The path, inside the plan (`path`). [path]"""
        return ("plan", *path)


@dataclass(frozen=True, slots=True)
class BatchReader:
    """The address of a whole batch: the key `plan`, or one key for each part of the body.

    Parameters
    ----------
    link : Link
        The keys for an address without a plan. [keys]
    """

    link: Link

    def read(self, pairs: Pairs, *, limit_bytes: int) -> BodyFromLink:
        """The body in the address (`pairs`: keys and values; `limit_bytes`: the largest body taken [bytes]).

        Raises
        ------
        DomainErrors : two plans, other keys beside one; without a plan as `read_link`.
        DomainError, Problem, UnreadableBody : as `unpack_plan`.
        """
        plans = [value for name, value in pairs if name == "plan"]
        if not plans:
            return read_link(self.link, pairs)
        faults: list[DomainError] = [
            UnknownKey(f'"{name[:60]}" cannot be combined with plan, which has the whole batch. Beside plan you can '
                       f"give format, field, table.", field=(name[:60],))
            for name in dict.fromkeys(name for name, _ in pairs) if name != "plan"]
        if len(plans) > 1:
            faults.append(one_of(plans)("plan appears twice; give it once.", field=("plan",)))
        if faults:
            raise DomainErrors(faults)
        return _PackedPlan(unpack_plan(plans[0], limit_bytes=limit_bytes), {})

    def parameters(self) -> list[dict[str, Any]]:
        """The keys, as the contract lists them; none is required, because `plan` replaces all. [as in OpenAPI]"""
        example = link_of_plan({"recipe": {
            "fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
            "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"water_to_alkali": 2}},
            "mould": {"shape": "box", "length": 250, "width": 80, "depth": 70}})["self"].partition("plan=")[2]
        plan = {"name": "plan", "in": "query", "required": False, "schema": {
            "type": "string", "minLength": 2, "examples": [example]}, "description":
            "In place of all other keys, the whole body: a version (1), then base64url (RFC 4648) without padding of "
            "zlib (RFC 1950) of the JSON in UTF-8. links.self of a reply holds it. It is a recipe that whoever has the "
            "link can read"}
        return [plan, *({**one, "required": False} for one in parameters_of(self.link))]
