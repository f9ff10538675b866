"""Names of the classes: those of the contract's components, with few exceptions."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["ALSO_TAKES", "BEHAVIOUR", "SENT_AGAIN", "class_names"]

_OWN = {  # the name of a reply without "Response" is not always the thing it is about
    "BaseResponse": "Reply", "LyeResponse": "Lye", "ScalingResponse": "Scaled", "MouldsResponse": "Mould",
    "FadesResponse": "Fade", "SchedulesResponse": "Schedule", "BlendsResponse": "Blend", "BatchesResponse": "Batch",
    "FatResponse": "FatEntry", "UnitsOfResponse": "Units", "MoneyAmount": "Money", "Working": "WorkingLine"}
BEHAVIOUR = {"MoneyAmount": "MoneyMethods", "Working": "WorkingMethods", "BatchesResponse": "BatchMethods"}
"""Classes written by hand in behaviour.py, by the component whose result inherits from them. [words]"""
SENT_AGAIN = {"RecipeAtNewSize": "RecipeInput"}
"""Parts of a reply that you send again unchanged: they stay as they came, typed as that input. [words]"""
ALSO_TAKES = {"WeighRowInput": "WeighListRow", "ResolvedInput": "ResolvedValues"}
"""Parts of a reply that you may send in place of an input: the client makes the same JSON of them. [words]"""


def class_names(components: Iterable[str]) -> dict[str, str]:
    """The class of each component.

    Parameters
    ----------
    components : iterable of str
        Names in the contract. [words]

    Returns
    -------
    dict : a reply takes its name from what it is about; a part of the same name then ends in "Core". [words]
    """
    found = list(components)
    replies = {name: _OWN.get(name, name.removesuffix("Response")) for name in found if name.endswith("Response")}
    taken = set(replies.values())
    return {name: replies.get(name) or _OWN.get(name) or (f"{name}Core" if name in taken else name) for name in found}
