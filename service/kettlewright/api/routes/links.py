"""Calculations by GET: they make the body of the POST from the address and run the same operation."""

from __future__ import annotations

from kettlewright.api.door.operations import operation_by_link
from kettlewright.api.links import BATCH, LINKS, BatchReader, LinkReader

__all__: list[str] = []

_ABOUT = ("The same calculation as the POST, with the same response, from an address alone. See \"Calculations by "
          "address\" in the introduction. The address contains the recipe.")
_OF_A_BATCH = ("The whole body in `plan`, as in `links.self` of a response; or a key for each part, without label and "
               "prices. A browser shows the batch sheet. Anyone who has the link can read the recipe in it.")

for _name, _link in LINKS.items():
    operation_by_link(_name, LinkReader(_link), description=_ABOUT)
operation_by_link("batches", BatchReader(BATCH), description=_OF_A_BATCH, statuses=(413,))
