"""Python client of the Kettlewright formulation service.

    from kettlewright_client import Client

    with Client("http://127.0.0.1:8000") as client:
        plan = client.batches(recipe=..., mould=...)
        for row in plan.weigh_list:
            print(row.where, row.name, row.form or "", row.weigh, row.unit)
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kettlewright_client.allergen_list import (
    AllergenList,
    AllergenListError,
    parse_allergens,
    read_allergens,
)
from kettlewright_client.client import Client
from kettlewright_client.errors import (
    Busy,
    ClientError,
    Fault,
    InvalidInput,
    NotFound,
    ProblemError,
    Refused,
    ServerFault,
    TimedOut,
    TooLarge,
    Unreachable,
)
from kettlewright_client.fat_list import FatList, FatListError, parse_fats, read_fats
from kettlewright_client.name_list import NameList, NameListError, parse_names, read_names
from kettlewright_client.price_list import PriceList, PriceListError, parse_prices, read_prices
from kettlewright_client.sweep import Sweep

if TYPE_CHECKING:
    from kettlewright_client.async_client import AsyncClient
    from kettlewright_client.results import (
        Actuals,
        Batch,
        Blend,
        Cautions,
        Costs,
        Cure,
        Cuts,
        Fade,
        FatEntry,
        Fats,
        Labels,
        Lye,
        Money,
        Mould,
        Portions,
        Purchases,
        Scaled,
        Schedule,
        Sources,
        State,
        Version,
        WorkingLine,
    )

__version__ = "0.2.0"

__all__ = [
    "Actuals",
    "AllergenList",
    "AllergenListError",
    "AsyncClient",
    "Batch",
    "Blend",
    "Busy",
    "Cautions",
    "Client",
    "ClientError",
    "Costs",
    "Cure",
    "Cuts",
    "Fade",
    "FatEntry",
    "FatList",
    "FatListError",
    "Fats",
    "Fault",
    "InvalidInput",
    "Labels",
    "Lye",
    "Money",
    "Mould",
    "NameList",
    "NameListError",
    "NotFound",
    "Portions",
    "PriceList",
    "PriceListError",
    "ProblemError",
    "Purchases",
    "Refused",
    "Scaled",
    "Schedule",
    "ServerFault",
    "Sources",
    "State",
    "Sweep",
    "TimedOut",
    "TooLarge",
    "Unreachable",
    "Version",
    "WorkingLine",
    "parse_allergens",
    "parse_fats",
    "parse_names",
    "parse_prices",
    "read_allergens",
    "read_fats",
    "read_names",
    "read_prices",
]


def __getattr__(name: str) -> Any:
    """A class, loaded when it is first used."""
    if name == "AsyncClient":  # needs httpx
        from kettlewright_client.async_client import AsyncClient
        return AsyncClient
    if name in __all__:
        from kettlewright_client import results
        return getattr(results, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
