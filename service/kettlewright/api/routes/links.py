"""GET twins: calculations asked by their address alone. They make the POST's body and run the same operation."""

from __future__ import annotations

from kettlewright.api.links import LINKS, LinkReader, PlanReader
from kettlewright.api.operations import operation_by_link

__all__: list[str] = []

_ABOUT = ("The body of the POST, said in the address, for whatever can send nothing but a link; the reply is the same, "
          "byte for byte. The grammar stands in the description of the document. Such an address holds a recipe.")
_OF_A_BATCH = ("The whole body in one key, as `links.self` of a reply has it: the batch sheet opens in a browser. Such "
               "a link holds a recipe, which whoever has it can read.")

for _name, _link in LINKS.items():
    operation_by_link(_name, LinkReader(_link), description=_ABOUT)
operation_by_link("batches", PlanReader(), description=_OF_A_BATCH, statuses=(413,))
