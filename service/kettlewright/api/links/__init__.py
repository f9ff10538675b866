"""Calculations by an address alone, for programs that can send nothing else."""

from kettlewright.api.links.keys import BodyFromLink, Key, Link, Reader
from kettlewright.api.links.plans import LINK_LENGTH_MAX, BatchReader, link_of_plan, unpack_plan
from kettlewright.api.links.reading import LinkReader, read_link
from kettlewright.api.links.vocabulary import BATCH, LINKS

__all__ = [
           "BATCH",
           "LINKS",
           "LINK_LENGTH_MAX",
           "BatchReader",
           "BodyFromLink",
           "Key",
           "Link",
           "LinkReader",
           "Reader",
           "link_of_plan",
           "read_link",
           "unpack_plan",
]
