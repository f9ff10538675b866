"""A row of the table of fats: its figures, names and fatty acids, and how each is known."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["KINDS", "AcidShare", "Alias", "FatRecord", "FattyAcid", "Figure", "LabelNames", "OpenFigure"]


KINDS = ("triglyceride", "wax_ester", "fatty_acid")


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of the table.

    Parameters
    ----------
    min, max : float
        Ends of the range. [unit of the column]
    verified : str
        "read", "memory" or "computed". [key]
    condition : str
        Temperature of the figure, if it matters. [text]
    """

    min: float
    max: float
    verified: str
    condition: str = ""


@dataclass(frozen=True, slots=True)
class OpenFigure:
    """A figure that may lack one end, such as "at least 56".

    Parameters
    ----------
    min, max : float, optional
        Ends of the range. [unit of the column]
    verified, source : str
        How it is known; its source, if it differs from the row's. [text]
    """

    min: float | None
    max: float | None
    verified: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class LabelNames:
    """Names for an ingredient list.

    Parameters
    ----------
    inci_name, inci_sodium_salt : str
        Of the fat and of its sodium soap; empty if not known. [text]
    verified, salt_confidence : str
        How the names are known. [key]
    """

    inci_name: str
    inci_sodium_salt: str
    verified: str
    salt_confidence: str


@dataclass(frozen=True, slots=True)
class Alias:
    """An everyday name of a fat.

    Parameters
    ----------
    name, language : str
        The name, and its language by ISO 639-1. [text]
    verified : str
        How it is known. [key]
    """

    name: str
    language: str
    verified: str


@dataclass(frozen=True, slots=True)
class AcidShare:
    """A fatty acid of a fat.

    Parameters
    ----------
    notation : str
        Such as "C18:1". [key]
    min_pct, max_pct : float
        Range. [% of fatty acids]
    typical_pct : float, optional
        From a data set. [% of fatty acids]
    verified, source : str
        How it is known. [text]
    """

    notation: str
    min_pct: float
    max_pct: float
    typical_pct: float | None
    verified: str
    source: str

    @property
    def mid_pct(self) -> float:
        """Middle of the range. [% of fatty acids]"""
        return (self.min_pct + self.max_pct) / 2


@dataclass(frozen=True, slots=True)
class FattyAcid:
    """A fatty acid.

    Parameters
    ----------
    notation, systematic_name, common_name, formula : str
        Names. [text]
    molar_mass : float
        Molar mass. [g/mol]
    double_bonds : int
        In one molecule. [bonds]
    """

    notation: str
    systematic_name: str
    common_name: str
    formula: str
    molar_mass: float
    double_bonds: int


@dataclass(frozen=True, slots=True)
class FatRecord:
    """Everything known about a fat, and how it is known.

    Parameters
    ----------
    key, name, kind, origin : str
        Key, name, one of `KINDS`, plant or animal. [text]
    label_names : LabelNames
        For an ingredient list. [text]
    saponification_value : Figure
        [mg KOH per g fat]
    iodine_value : OpenFigure, optional
        Wijs. [g iodine per 100 g]
    unsaponifiable_max : Figure, optional
        Upper limit. [g/kg]
    relative_density, refractive_index : Figure, optional
        At their condition. [1]
    second_saponification_value, second_iodine_value : OpenFigure, optional
        Another published range. [units as above]
    fatty_acids : tuple of AcidShare
        In chain order of the table. [% of fatty acids]
    source, read_at, read_quality, verified, notes : str
        Provenance. [text]
    aliases : tuple of Alias
        Other names. [text]
    """

    key: str
    name: str
    kind: str
    origin: str
    label_names: LabelNames
    saponification_value: Figure
    iodine_value: OpenFigure | None
    unsaponifiable_max: Figure | None
    relative_density: Figure | None
    refractive_index: Figure | None
    second_saponification_value: OpenFigure | None
    second_iodine_value: OpenFigure | None
    fatty_acids: tuple[AcidShare, ...]
    source: str
    read_at: str
    read_quality: str
    verified: str
    notes: str
    aliases: tuple[Alias, ...] = ()
