"""Keys made of the maker's own names."""

from __future__ import annotations

import re

__all__ = ["slug"]


def slug(name: str) -> str:
    """A key for a name: lower case, letters and digits of any script, the rest as single underscores.

    Parameters
    ----------
    name : str
        A name with at least one letter or digit. [text]

    Returns
    -------
    str : such as "shea_lot_7" for "shea, lot 7". [key]
    """
    return re.sub(r"[\W_]+", "_", name.casefold()).strip("_")
