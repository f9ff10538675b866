"""The sources of the numbers in a response, and how each is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from kettlewright.reference.fat_records import FatRecord
from kettlewright.reference.fats import fats

__all__ = ["SOURCES", "Source", "all_sources", "fat_source"]


@dataclass(frozen=True, slots=True)
class Source:
    """A source.

    Parameters
    ----------
    key, provenance, title, how_read : str
        Short key; one of `PROVENANCES`, for most of it; title with edition and table; how each part is known, in
        words. [text]
    """

    key: str
    provenance: str
    title: str
    how_read: str


SOURCES: Mapping[str, Source] = MappingProxyType({source.key: source for source in (
    Source("iupac_atomic_weights", "computed", "IUPAC standard atomic weights", "computed from the formulas"),
    Source("iso_3657", "memory", "ISO 3657, saponification value: mg of pure KOH per g of fat", "memory"),
    Source("gum_jcgm_100", "second_hand",
           "JCGM 100 (GUM), type B evaluation, rectangular inputs, coverage factor 2", "second-hand"),
    Source("naoh_density", "read",
           "Industrial caustic-soda density table, same lineage as International Critical Tables III",
           "read from 24 %; computed below"),
    Source("laliberte_2009", "computed",
           "Laliberte 2009, density and heat capacity of aqueous electrolytes", "computed"),
    Source("naoh_heat_of_solution", "memory", "Integral heat of solution of NaOH, older NBS (Rossini) set",
           "memory, but for two values read"),
    Source("parker_1965", "read", "Parker, NSRDS-NBS 2, 1965: heat of solution at infinite dilution", "read"),
    Source("iso_685", "second_hand", "ISO 685, total fatty matter (withdrawn 2020)", "second-hand"),
    Source("kubelka_munk", "read",
           "Kubelka-Munk, opaque layer, single-constant form; Berns and Mohammadi 2007 on its limits",
           "formula read; review by its abstract"),
    Source("iec_61966_2_1", "read", "IEC 61966-2-1, sRGB", "read"),
    Source("cie_lab", "memory", "ISO/CIE 11664-4, CIELAB", "memory; agrees with an independent library"),
    Source("ciede2000", "second_hand", "ISO/CIE 11664-6, CIEDE2000, by a library", "one published pair read"),
    Source("eu_1223_2009", "memory", "Regulation (EC) 1223/2009, Article 19 (labelling), Annexes II to IV",
           "second-hand quotes of 19(1)(g); the other elements and the annexes from memory"),
    Source("eu_2023_1545", "second_hand", "Regulation (EU) 2023/1545, fragrance allergens: limits, dates, entries",
           "recitals read; the list from two transcriptions that agree"),
    Source("gb_schedule_34", "memory",
           "Product Safety and Metrology (EU Exit) Regulations 2019, Schedule 34", "memory"),
    Source("us_21_cfr_701", "read", "21 CFR 701.3 (ingredients), 701.20 (soap)", "read; 701.3(f) second-hand"),
    Source("us_16_cfr_500", "memory", "16 CFR 500, net quantity in inch/pound and metric units",
           "read that both are needed; their form from memory"),
    Source("eu_76_211", "read", "Directive 76/211/EEC, average quantity: tolerable negative errors, 5 g to 10 kg",
           "read up to 1 kg; above second-hand; the small share of 2.5 % from memory"),
    Source("us_hb133", "memory", "NIST Handbook 133, maximum allowable variations, table 2-5", "memory, one row read"),
    Source("label_names_table", "memory", "INCI names of fats, acids and their salts; standing of colourants",
           "memory, but for three salt names read"),
    Source("iso_4217", "second_hand",
           "ISO 4217, codes of currencies and their minor units; list of the maintenance agency, 2026",
           "second-hand, by a library that carries the list"),
    Source("first_order_drying", "memory",
           "First-order (thin-layer) drying to an equilibrium; least squares with the linear "
           "approximation of the band", "memory; agrees with an independent fit"),
    Source("cure_practice", "memory",
           "18 to 24 hours in the mould, 4 to 6 weeks of cure", "common practice, no source"),
    Source("iso_8601", "memory", "ISO 8601-1, calendar dates; whole days are counted", "memory"),
    Source("integer_program", "computed", "Integer program by a library (HiGHS), bounded by nodes", "computed"),
    Source("own_density_rules", "own_decision",
           "Own decision: volumes add, everything at 40 °C, fats 0.905 g/mL where not known",
           "own decision"),
)})


_HYPHENATED = {"secondhand": "second-hand", "second_hand": "second-hand"}  # as a reader spells it


def fat_source(record: FatRecord) -> Source:
    """The source of a fat's figures (`record`: its row). [source]"""
    text, value = (_HYPHENATED.get(word, word) for word in (record.read_quality, record.saponification_value.verified))
    return Source(f"fat_{record.key}", record.verified, f"{record.name}: {record.source}",
                  f"{text}; saponification value: {value}")


@cache
def all_sources() -> Mapping[str, Source]:
    """All sources of the service by key, those of the fats last. [sources]"""
    return MappingProxyType({**SOURCES, **{source.key: source for source in map(fat_source, fats().values())}})
