"""From the cut bar to sale."""

from kettlewright.release.labels import BarLabel, Label, make_label
from kettlewright.release.naming import OwnName
from kettlewright.release.wishes import LabelWish

__all__ = ["BarLabel", "Label", "LabelWish", "OwnName", "make_label"]
