"""Everything to put on a scale, in the order of the hands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from kettlewright.names import slug
from kettlewright.pour import Division, MadeDispersion, WeighedAddition
from kettlewright.recipe import Lye, Scale
from kettlewright.recipe.weighed import WeighedAlkali
from kettlewright.said import Said

__all__ = ["WeighRow", "weigh_list"]


@dataclass(frozen=True, slots=True)
class WeighRow:
    """One weighing.

    Parameters
    ----------
    key, name : str
        What. [text]
    lot : str, optional
        Lot number. [text]
    where : str
        "jug", "pot", "jar/<addition>", "aside", "bucket/<portion>", "sieve/<portion>" or "spray/<portion>". [key]
    weigh_g : float
        On the scale. [g]
    step_g : float
        Step of the scale it is weighed on. [g]
    fine : bool
        On the fine scale: the row is in the unit of doses. [yes or no]
    each_mix_g : float, optional
        On the scale for each mix, where the batch is made in several; none of what is weighed once. [g]
    """

    key: str
    name: str
    lot: str | None
    where: str
    weigh_g: float
    step_g: float
    fine: bool = False
    each_mix_g: float | None = None


def weigh_list(lye: Lye, scale: Scale, division: Division | None = None,
               dispersions: Sequence[MadeDispersion] = (), *, mixes: int = 1) -> tuple[WeighRow, ...]:
    """Bench order: the jug first, so that the lye cools while the fats melt; alkali after the water it goes into.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [lye]
    scale : Scale
        What it was weighed on. [g]
    division : Division, optional
        The buckets, where there are any. [portions]
    dispersions : sequence of MadeDispersion
        Jars for them, made while the lye cools. [g]
    mixes : int
        In how many equal mixes jug and pot are weighed. [mixes]

    Returns
    -------
    tuple of WeighRow : common practice, no source, but for water before alkali (safety data sheets). [g]
    """
    coarse, fine = scale.readability_g, scale.dose_readability_g
    ice = 0.0 if lye.ice is None else lye.ice.weigh_g
    rows = [WeighRow("water", Said("water"), None, "jug", lye.water.weigh_g - ice, coarse)]
    rows += [WeighRow("ice", Said("ice, of water"), None, "jug", ice, coarse)] if ice else []
    rows += [WeighRow(liquid.key, liquid.name, liquid.lot, "jug", liquid.weigh_g, coarse) for liquid in lye.liquids]
    rows += [WeighRow(acid.key, acid.name, acid.lot, "jug", acid.weigh_g, fine, fine=True)
             for acid in lye.acids if not acid.acid.fatty]
    rows += [WeighRow(alkali.key, _of_alkali(alkali), alkali.lot, "jug",
                      alkali.weigh_g, scale.alkali_readability_g) for alkali in lye.alkalis]
    rows += [WeighRow(fat.key, fat.name, fat.lot, "pot", fat.weigh_g, coarse) for fat in lye.fats]
    rows += [WeighRow(acid.key, acid.name, acid.lot, "pot", acid.weigh_g, fine, fine=True)
             for acid in lye.acids if acid.acid.fatty]
    if division is None:
        return _in_mixes(rows, mixes)
    for jar in dispersions:
        rows += [WeighRow(jar.key, Said("{addition}, dry", addition=jar.name), jar.lot, f"jar/{jar.key}",
                          jar.dry_weigh_g, fine, fine=True),
                 WeighRow(slug(jar.carrier_name), Said("{carrier} for {addition}", carrier=jar.carrier_name,
                                                       addition=jar.name),
                          None, f"jar/{jar.key}", jar.carrier_weigh_g, fine, fine=True)]
    rows += _additions(division.additions, fine, "pot", "pot")
    if division.kept_back is not None:
        rows.append(WeighRow("kept_back", Said("plain batter to keep back"), None, "aside", division.kept_back.weigh_g,
                             coarse))
    for portion in division.portions:
        bucket = f"bucket/{portion.key}"
        rows.append(WeighRow(portion.key, Said("batter for {portion}", portion=portion.name), None, bucket,
                             portion.weigh_g, coarse))
        rows += [WeighRow(one.key, Said("batter out of {portion}", portion=one.name), None, bucket, one.weigh_g, coarse)
                 for one in portion.borrowed]
        rows += _additions(portion.additions, fine, bucket, portion.key)
        if portion.dusting is not None:
            rows.append(WeighRow(portion.dusting.key, portion.dusting.name, None, f"sieve/{portion.key}",
                                 portion.dusting.weigh_g, fine, fine=True))
    return _in_mixes(rows, mixes)


def _in_mixes(rows: Iterable[WeighRow], mixes: int) -> tuple[WeighRow, ...]:
    return tuple(replace(row, each_mix_g=row.weigh_g / mixes) if mixes > 1 and row.where in ("jug", "pot") else row
                 for row in rows)


def _of_alkali(alkali: WeighedAlkali) -> str:
    return Said("{alkali} stock", alkali=alkali.name) if alkali.stock else alkali.name


def _additions(additions: Iterable[WeighedAddition], step_g: float, where: str, sprayed_on: str) -> list[WeighRow]:
    return [WeighRow(addition.key, addition.name if addition.addition.dispersion is None else
                     Said("{addition}, dispersed", addition=addition.name), addition.addition.lot,
                     where if addition.addition.in_batter else f"spray/{sprayed_on}", addition.weigh_g, step_g,
                     fine=True)
            for addition in additions]
