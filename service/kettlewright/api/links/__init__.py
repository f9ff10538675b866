"""Calculations by an address alone, for programs that can send nothing else."""

from kettlewright.api.links.grammar import AddressTerm, shown
from kettlewright.api.links.keys import Key, Link, Sorted, node_at, values_of
from kettlewright.api.links.plans import LINK_LENGTH_MAX, BatchReader, link_of_plan, unpack_plan
from kettlewright.api.links.reading import LinkReader, read_link
from kettlewright.api.links.registering import by_address

__all__ = [
    "LINK_LENGTH_MAX",
    "AddressTerm",
    "BatchReader",
    "Key",
    "Link",
    "LinkReader",
    "Sorted",
    "by_address",
    "link_of_plan",
    "node_at",
    "read_link",
    "shown",
    "unpack_plan",
    "values_of",
]
