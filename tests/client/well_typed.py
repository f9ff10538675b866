"""A script of a user in which a type checker finds nothing wrong."""

from datetime import date
from decimal import Decimal

from kettlewright_client import AsyncClient, Batch, Client
from kettlewright_client.inputs import FatInput, RecipeInput
from kettlewright_client.results import WeighListRow

fats: list[FatInput] = [{"fat": "olive", "share_pct": Decimal(70)}, {"fat": "coconut", "share_pct": 30}]
recipe: RecipeInput = {"fats": fats, "superfat_pct": 5, "alkalis": [{"alkali": "NaOH"}],
                       "water": {"water_to_alkali": 2}}


def heaviest(plan: Batch) -> WeighListRow:
    """The heaviest row of a plan."""
    return max(plan.weigh_list, key=lambda row: row.weigh)


def plan(client: Client) -> Batch:
    """A plan, and the calculations that take a part of it."""
    found = client.batches(recipe=recipe, mould={"shape": "box", "length": 250, "width": 80, "depth": 70},
                           cut={"bar": {"thickness": 25}}, dates={"release": date(2027, 3, 20)}, timeout=5)
    bars: int = found.need("cuts").bars.count
    mass: float = heaviest(found).weigh
    again = client.batches(recipe=found.recipe, mould={"shape": "measured", "volume": 1000 * bars + mass})
    sheet: str = client.form("batches", "html", {"recipe": again.recipe, "mould": {"shape": "measured", "volume": 1}})
    return again if sheet else found


async def plan_async(client: AsyncClient) -> float:
    """The same, to await."""
    found = await client.batches(recipe=recipe, mould={"shape": "box", "length": 250, "width": 80, "depth": 70})
    return found.lye.superfat.achieved_pct
