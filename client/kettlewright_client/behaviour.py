"""Methods of single results, written by hand; the generated classes inherit from these."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from kettlewright_client.html import figure, plan_html

__all__ = ["BatchMethods", "MoneyMethods", "WorkingMethods"]


class MoneyMethods:
    """Of an amount of money."""

    if TYPE_CHECKING:
        amount: str
        currency: str

    @property
    def decimal(self) -> Decimal:
        """The exact amount."""
        return Decimal(self.amount)

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"


class WorkingMethods:
    """Of a line of the calculation; print it to read it."""

    if TYPE_CHECKING:
        figure: str
        formula: str
        numbers: str
        result: float
        unit: str
        source: str

    def __str__(self) -> str:
        return (f"{self.figure}\n    {self.formula}\n    {self.numbers} = {self.result:.6g} {self.unit}"
                f"\n    {self.source}")


class BatchMethods:
    """Of a planned batch."""

    if TYPE_CHECKING:
        weigh_list: tuple[Any, ...]
        cautions: tuple[Any, ...]
        identity: str
        lye: Any
        portions: tuple[Any, ...]
        units: Any

    def __repr__(self) -> str:
        lye = self.lye
        return (f"<Batch {self.identity}: {len(self.portions)} portions, {lye.batter.mass:,.6g} {self.units.mass} of "
                f"batter, superfat {lye.superfat.achieved_pct:.1f} %, {len(self.cautions)} cautions>")

    def _repr_html_(self) -> str:
        drawn: Any = getattr(self, "_picture", None)  # set by the client that planned it
        svg = drawn() if callable(drawn) else ""
        return plan_html(f"Batch {self.identity}", self.weigh_list, self.cautions,
                         figure(svg) if svg else "<p>No picture: draw it with an open client and cut_face().</p>")
