"""The safety cautions, by stage: a catalogue of stable keys and texts, and what triggers each.

A caution that fires on every batch teaches people to ignore it. So what always applies is standing, and only what this
request brings about is triggered. Law and first aid differ by place: the texts defer to local law, to the safety data
sheet of the product in hand and to medical help.
"""

from __future__ import annotations

from kettlewright.cautions.actuals import of_actuals
from kettlewright.cautions.catalogue import CATALOGUE, PLACES, SEVERITIES, Entry, standing
from kettlewright.cautions.lye import of_lye, of_mixes
from kettlewright.cautions.pour import of_cuts, of_division, of_fade
from kettlewright.cautions.rebatch import LimitOfMixture, LyeHeavySoap, of_rebatch
from kettlewright.cautions.release import of_label, of_missing_packs, of_missing_prices
from kettlewright.cautions.triggered import Caution, worst_severity

__all__ = ["CATALOGUE", "PLACES", "SEVERITIES", "Caution", "Entry", "LimitOfMixture", "LyeHeavySoap", "of_actuals",
           "of_cuts", "of_division", "of_fade", "of_label", "of_lye", "of_missing_packs", "of_missing_prices",
           "of_mixes", "of_rebatch", "standing", "worst_severity"]
