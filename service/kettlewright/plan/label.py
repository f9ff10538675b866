"""The labels of a planned batch."""

from __future__ import annotations

from kettlewright.errors import gather
from kettlewright.plan.batch import Plan
from kettlewright.release import Label, LabelOptions, make_label

__all__ = ["label_of"]


def label_of(plan: Plan, options: LabelOptions) -> Label:
    """The labels of a planned batch: one for every kind of bar whose ingredient list differs.

    Parameters
    ----------
    plan : Plan
        The batch. [plan]
    options : LabelOptions
        The requested label. [label]

    Returns
    -------
    Label : [% by mass, g]

    Raises
    ------
    DomainErrors : a net quantity that the bars cannot hold, at its place under "label".
    """
    with gather() as checks, checks.at("label"):
        return make_label(options, plan.lye, plan.division, arrangement=plan.arrangement, cuts=plan.cuts,
                          expected_loss_pct=plan.expected_loss_pct)
    raise AssertionError("unreachable: gather raises")
