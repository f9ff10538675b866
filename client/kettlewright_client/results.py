"""Every class of a reply, with the names of the contract. Quantities are in the units of the request.

A class is loaded when it is first used. Fields of a newer service stay in `raw`, and words that this client does not
know stay texts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kettlewright_client.generated import results as _generated

if TYPE_CHECKING:
    from kettlewright_client.generated.results import *  # noqa: F403  # all of them

__all__ = _generated.__all__


def __getattr__(name: str) -> Any:
    return getattr(_generated, name)
