"""Tags of replies to GET (RFC 9110, section 8.8.3), made of the request alone.

The same address gives the same bytes as long as neither the service nor its data change. So a tag is a digest of the
operation, the address, the form of the reply and the versions: a caller that still holds the reply gets 304 without the
calculation. A tag is only given out with status 200. Anyone can compute the tag of an address that would be refused,
and gets a 304 without content for it, which tells nothing.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from contextvars import ContextVar
from functools import cache
from hashlib import blake2b
from importlib import metadata, resources
from pathlib import Path

from flask import request

from kettlewright.api.door.address import Pairs

__all__ = ["data_version", "is_held", "service_version", "tag_of"]

data_version: ContextVar[str] = ContextVar("data_version", default="")
"""Version of the operator's own data in the request in hand; empty without such data. [text]"""


@cache
def service_version() -> str:
    """A digest of all that decides a reply: our code, tables and texts, and the versions of the libraries. [text]

    The version number does not suffice: a figure that is put right before the next release must not stay hidden behind
    a 304.
    """
    found = blake2b(digest_size=16)
    with resources.as_file(resources.files("kettlewright")) as folder:
        for file in sorted(Path(folder).rglob("*")):
            if file.is_file() and file.suffix != ".pyc":
                found.update(f"{file.relative_to(folder)}\n".encode() + blake2b(file.read_bytes()).digest())
    for needed in sorted(metadata.requires("kettlewright") or []):
        name = re.split(r"[^\w.-]", needed, maxsplit=1)[0]
        if "extra ==" not in needed:
            found.update(f"{name} {metadata.version(name)}\n".encode())
    return found.hexdigest()


def tag_of(operation: str, form: object, parts: Mapping[str, str], pairs: Pairs) -> str:
    """The tag of a reply.

    Parameters
    ----------
    operation : str
        Its name. [name]
    form : object
        The form of the reply; its text names all of it. [form]
    parts, pairs : mapping, pairs
        Parts of the path; keys and values of the query. [text]

    Returns
    -------
    str : [letters and digits]
    """
    seen = json.dumps([service_version(), data_version.get(), operation, repr(form), [*parts.items()], pairs])
    return blake2b(seen.encode(), digest_size=16).hexdigest()


def is_held(tag: str) -> bool:
    """Whether the caller says that it holds the reply with this tag (`tag`); a proxy that compresses may have made the
    tag a weak one. [yes or no]
    """
    held = request.if_none_match
    return not held.star_tag and held.contains_weak(tag)
