"""The name under which a sheet, a table or a calendar is saved."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

__all__ = ["file_name"]

_LONGEST = 80
_NOT_IN_NAMES = set('\\/:*?"<>|')  # Windows refuses them, the others some of them


def file_name(reply: Mapping[str, Any]) -> str:
    """The name of a planned batch, without its ending.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/batches. [as in JSON]

    Returns
    -------
    str : title, batch number and identity, as far as they are given. A dot or space at either end is dropped.
    """
    given = [reply[key] for key in ("title", "batch_number") if key in reply]
    name = " ".join("".join("-" if one in _NOT_IN_NAMES else one for one in " ".join(given)).split())
    return f"{name[:_LONGEST].strip(' .')} {reply['identity']}".strip()
