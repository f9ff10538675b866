"""The next action, and the checks of the superfat that every stage shares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.actuals.rows import Row, Weighings
from kettlewright.plan.batch import Plan
from kettlewright.recipe import Lye, is_kept
from kettlewright.said import Said

__all__ = ["ACTIONS", "NO_SOAP_PCT", "SLIGHT_POINTS", "MissingRow", "Step", "costs_little", "is_safe", "is_slight",
           "keeps_superfat"]

ACTIONS = ("go_on", "weigh", "put_in_missing", "use_part_of_lye", "make_lye_anew", "add_fat", "pour", "do_not_pour",
           "hold_back", "rebatch_or_discard")
SLIGHT_POINTS = 0.5  # superfat that the steps of a scale may cost before the scale counts as too coarse
NO_SOAP_PCT = limits.SUPERFAT_PCT.high  # nobody may request more


@dataclass(frozen=True, slots=True)
class MissingRow:
    """A row that was forgotten or weighed short.

    Parameters
    ----------
    row : Row
        Row of the weigh list. [g]
    mass_g : float
        Mass to put in. [g]
    forgotten : bool
        Nothing of it was weighed. [yes or no]
    """

    row: Row
    mass_g: float
    forgotten: bool


@dataclass(frozen=True, slots=True)
class Step:
    """What to do next.

    Parameters
    ----------
    what : str
        One of `ACTIONS`. [key]
    text : Said
        What to do first, then why. [text]
    lye : Lye
        The batch as it is. [lye]
    key : str, optional
        Ingredient to weigh for it, if any. [key]
    weigh_g : float, optional
        Mass to weigh. [g]
    after : Lye, optional
        The batch after it, if it changes the batch. [lye]
    with_lye_of_plan_pct : float, optional
        The superfat with the alkali of the plan, if that alkali does not fit. [% of full demand]
    missing : tuple of MissingRow
        Rows that were forgotten or weighed short and are put in now. [g]
    otherwise : Step, optional
        What to do if they cannot be put in. [step]
    """

    what: str
    text: Said
    lye: Lye
    key: str | None = None
    weigh_g: float | None = None
    after: Lye | None = None
    with_lye_of_plan_pct: float | None = None
    missing: tuple[MissingRow, ...] = ()
    otherwise: Step | None = None

    @property
    def stops(self) -> bool:
        """Nothing else is weighed until this is done. [yes or no]"""
        return self.what in ("do_not_pour", "rebatch_or_discard")


def keeps_superfat(lye: Lye) -> bool:
    """Whether the superfat is at least the requested one, or the minimum in the worst case (`lye`). [yes or no]"""
    recipe = lye.recipe
    return is_kept(lye.superfat, recipe.asked_pct, at_least=recipe.superfat_at_least_pct is not None)


def is_slight(plan: Plan, reported: Weighings, stages: Sequence[str], lye: Lye) -> bool:
    """Whether nothing is off by more than one step and the step costs little superfat. [yes or no]

    Parameters
    ----------
    plan, reported : Plan, Weighings
        As planned and as weighed. [g]
    stages : sequence of str
        Stages whose rows count. [keys]
    lye : Lye
        As weighed. [lye]
    """
    return not reported.off_at(stages) and costs_little(plan, lye)


def costs_little(plan: Plan, lye: Lye) -> bool:
    """Whether the superfat is at most `SLIGHT_POINTS` below the requested one (`plan`, `lye`); never below a minimum.

    [yes or no]
    """
    return (plan.lye.recipe.superfat_at_least_pct is None
            and lye.superfat.achieved_pct >= max(lye.superfat.asked_pct - SLIGHT_POINTS, 0.0))


def is_safe(plan: Plan, lye: Lye) -> bool:
    """Whether the low end of the likely range is above 0 and not below a minimum (`plan`, `lye`). [yes or no]"""
    least, low = plan.lye.recipe.superfat_at_least_pct, lye.superfat.likely_pct.min
    return low > 0 and (least is None or low >= least - 1e-9)


