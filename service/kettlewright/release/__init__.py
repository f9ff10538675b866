"""From the cut bar to sale."""

from kettlewright.release.labels import BarLabel, Label, LabelWish, make_label
from kettlewright.release.naming import OwnName

__all__ = ["BarLabel", "Label", "LabelWish", "OwnName", "make_label"]
