"""Groups of batches, the days they may be poured on, and the resources they need."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["Group", "PourDayChoice", "Resource"]


@dataclass(frozen=True, slots=True)
class PourDayChoice:
    """A day on which a group may be poured.

    Parameters
    ----------
    pour, unmould, pack : int
        Days: poured; the mould is free again and the bars lie down to cure; their place is free again. [days]
    """

    pour: int
    unmould: int
    pack: int


@dataclass(frozen=True, slots=True)
class Group:
    """Batches that are alike.

    Parameters
    ----------
    count : int
        How many. [batches]
    mould : str
        Key of the moulds it takes. [key]
    moulds : int
        How many of them each batch takes. [moulds]
    room : int
        What each batch takes of the curing places. [batches or bars]
    choices : tuple of PourDayChoice
        Days on which it may be poured, rising. [days]
    """

    count: int
    mould: str
    moulds: int
    room: int
    choices: tuple[PourDayChoice, ...]


@dataclass(frozen=True, slots=True)
class Resource:
    """Something of which there is only so much on a day.

    Parameters
    ----------
    key : str
        "pours", "places" or "mould:" and the key of its moulds. [key]
    limit : int
        How much there is. [count]
    """

    key: str
    limit: int

    def taken(self, group: Group) -> tuple[int, Callable[[PourDayChoice], range]]:
        """How much a batch takes, and on which days (`group` [batches]). [count, days]"""
        if self.key == "pours":
            return 1, lambda choice: range(choice.pour, choice.pour + 1)
        if self.key == "places":
            return group.room, lambda choice: range(choice.unmould, choice.pack)
        # free on the day of unmoulding, but never filled twice on one day
        return (group.moulds if self.key == f"mould:{group.mould}" else 0,
                lambda choice: range(choice.pour, max(choice.unmould, choice.pour + 1)))

    def from_day(self, choice: PourDayChoice) -> int:
        """The day from which it is taken (`choice` [days]). [day]"""
        return choice.unmould if self.key == "places" else choice.pour
