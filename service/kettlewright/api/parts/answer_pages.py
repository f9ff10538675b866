"""A page for every calculation by address that has none of its own, so that a form without JavaScript gets one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kettlewright.api.door.operations import BY_LINK, OPERATIONS, Face, Operation
from kettlewright.api.door.outline import outline
from kettlewright.copies import replace
from kettlewright.errors import DomainError
from kettlewright.views import answer_page, page_policy

__all__ = ["add_page", "add_pages"]


def add_pages() -> None:
    """Add the form "html" to the operations; called once all are registered."""
    for by_link in [name for name in OPERATIONS if name.endswith(BY_LINK)]:
        found = OPERATIONS[by_link.removesuffix(BY_LINK)]
        if "html" not in found.faces:
            for name in (found.name, by_link):
                add_page(name)


def add_page(name: str) -> None:
    """Add the form "html" to one operation (`name`), made of its figures."""
    found = OPERATIONS[name]
    OPERATIONS[name] = replace(found, faces={**found.faces, "html": _page_of(found)})


def _page_of(found: Operation) -> Face:
    picture = found.faces.get("svg")
    return Face("text/html", lambda reply: answer_page(
        reply, title=found.summary, sections=outline(found.tables, reply), picture=_drawn(picture, reply)), page_policy)


def _drawn(picture: Face | None, reply: Mapping[str, Any]) -> str | None:
    """The picture of a reply; none if there is nothing to draw, such as a drying curve without weighings."""
    try:
        return picture.render(reply) if picture else None
    except DomainError:
        return None
