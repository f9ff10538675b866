"""Lets an operation be requested by GET: its address makes the body of the POST and runs the same operation."""

from __future__ import annotations

from kettlewright.api.door.operations import OPERATIONS, operation_by_link
from kettlewright.api.links.keys import Key, Link
from kettlewright.api.links.reading import LinkReader

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
    request = OPERATIONS[name].request
    assert request is not None
    operation_by_link(name, LinkReader(Link(name, request, keys, always)), description=_ABOUT)
