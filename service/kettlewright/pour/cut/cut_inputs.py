"""How a block is to be cut: trims, loaves, bars, tolerances and finish."""

from __future__ import annotations

from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import gather, one_of

__all__ = ["BarCut", "Block", "Finish", "LoafCut", "Tolerance", "Trim"]


_MM3_PER_ML = 1000.0


@dataclass(frozen=True, slots=True)
class Block:
    """A block to be cut.

    Parameters
    ----------
    length_mm, width_mm, height_mm : float
        Outer dimensions. [mm]
    """

    length_mm: float
    width_mm: float
    height_mm: float

    def __post_init__(self) -> None:
        with gather() as checks:
            for name in ("length", "width", "height"):
                with checks.at():
                    limits.LENGTH.check(getattr(self, f"{name}_mm"), name)

    @property
    def volume_ml(self) -> float:
        """Volume. [mL]"""
        return self.length_mm * self.width_mm * self.height_mm / _MM3_PER_ML


@dataclass(frozen=True, slots=True)
class Trim:
    """Length cut off the ends first, including the cut.

    Parameters
    ----------
    start_mm, end_mm : float
        Off each end. [mm]
    """

    start_mm: float = 0.0
    end_mm: float = 0.0

    def __post_init__(self) -> None:
        limits.DEPTH_OFF.check(self.start_mm, "start")
        limits.DEPTH_OFF.check(self.end_mm, "end")


@dataclass(frozen=True, slots=True)
class LoafCut:
    """How the block is cut across its width.

    Parameters
    ----------
    width_mm : float
        Of a loaf. [mm]
    kerf_mm : float, optional
        The bars' if not given. [mm]
    trim : Trim, optional
        The bars' if not given. [mm]
    """

    width_mm: float
    kerf_mm: float | None = None
    trim: Trim | None = None

    def __post_init__(self) -> None:
        limits.LENGTH.check(self.width_mm, "width")
        if self.kerf_mm is not None:
            limits.KERF.check(self.kerf_mm, "kerf")


@dataclass(frozen=True, slots=True)
class BarCut:
    """How a loaf is cut along its length, in exactly one way.

    Parameters
    ----------
    thickness_mm : float, optional
        Of a bar. [mm]
    count : int, optional
        Equal bars in a loaf. [bars]
    mass_g : float, optional
        Of a bar: cured if a loss in cure is given, otherwise wet. [g]
    """

    thickness_mm: float | None = None
    count: int | None = None
    mass_g: float | None = None

    def __post_init__(self) -> None:
        given = [name for name in ("thickness_mm", "count", "mass_g") if getattr(self, name) is not None]
        if len(given) != 1:
            raise one_of(given or None)('Give bars exactly one of "thickness", "count" and "mass"; '
                                        f"{'none' if not given else ' and '.join(n.split('_')[0] for n in given)} "
                                        "given.")
        if self.thickness_mm is not None:
            limits.LENGTH.check(self.thickness_mm, "thickness")
        if self.count is not None:
            limits.BARS_COUNT.check(self.count, "count")
        if self.mass_g is not None:
            limits.MASS.check(self.mass_g, "mass")


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Tolerance of a cut, either way.

    Parameters
    ----------
    length_mm, width_mm, height_mm : float
        Along the block's length, width and height. [mm]
    density_pct : float
        Of the block's density. [%]
    """

    length_mm: float = 1.0
    width_mm: float = 1.0
    height_mm: float = 2.0
    density_pct: float = 1.0

    def __post_init__(self) -> None:
        with gather() as checks:
            for name in ("length", "width", "height"):
                with checks.at():
                    limits.KERF.check(getattr(self, f"{name}_mm"), name)
            with checks.at():
                limits.TOLERANCE_PCT.check(self.density_pct, "density_pct")


@dataclass(frozen=True, slots=True)
class Finish:
    """Finishing of each bar after cutting.

    Parameters
    ----------
    planing_mm : float
        Off the top of each bar. [mm]
    bevel_mm : float
        Leg of the bevel on all its edges. [mm]
    """

    planing_mm: float = 0.0
    bevel_mm: float = 0.0

    def __post_init__(self) -> None:
        limits.KERF.check(self.planing_mm, "planing")
        limits.KERF.check(self.bevel_mm, "bevel")
