"""Lets an operation be requested by GET: its address makes the body of the POST and runs the same operation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kettlewright.api.door.operations import OPERATIONS, Face, Operation, operation_by_link
from kettlewright.api.door.outline import outline
from kettlewright.api.links.keys import Key, Link
from kettlewright.api.links.reading import LinkReader
from kettlewright.errors import DomainError
from kettlewright.views import answer_page, page_policy

__all__ = ["by_address"]

_ABOUT = ("The same calculation as the POST, with the same response, from an address alone. See \"Calculations by "
          "address\" in the introduction. The address contains the recipe.")


def by_address(name: str, *keys: Key, always: tuple[str, ...] = ()) -> None:
    """Let a calculation be requested by its address.

    Parameters
    ----------
    name : str
        Of the operation. [text]
    keys : Key
        All keys of the address. [keys]
    always : tuple of str
        Objects of the body that are there even if no key fills them. [names]
    """
    found = OPERATIONS[name]
    takes = found.takes
    assert takes is not None
    if "html" not in found.faces:  # a form without JavaScript gets a page
        OPERATIONS[name] = replace(found, faces={**found.faces, "html": _page_of(found)})
    operation_by_link(name, LinkReader(Link(name, takes, keys, always)), description=_ABOUT)


def _page_of(found: Operation) -> Face:
    picture = found.faces.get("svg")
    return Face("text/html", lambda reply: answer_page(
        reply, title=found.summary, sections=outline(found.tables, reply),
        picture=_drawn(picture, reply)), page_policy)


def _drawn(picture: Face | None, reply: Mapping[str, Any]) -> str | None:
    """The picture of a reply; none if there is nothing to draw, such as a drying curve without weighings."""
    try:
        return picture.render(reply) if picture else None
    except DomainError:
        return None
