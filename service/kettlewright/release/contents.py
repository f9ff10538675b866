"""What is in the pot and in each bucket, under the names of a label: as added, or as it has reacted."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from kettlewright.pour import Division, WeighedAddition, WeighedPortion
from kettlewright.recipe import FatPortion, Lye
from kettlewright.recipe.soap import Saponified
from kettlewright.reference import M_GLYCEROL, M_KOH, M_NAOH, M_WATER, MG_KOH_PER_MOL
from kettlewright.reference import fat as table_fat
from kettlewright.release.naming import Named, Namer, names_a_colour

__all__ = ["Content", "LeftOut", "Piece", "buckets_of", "left_out", "pot_of", "stays_in_bucket_g", "together"]

_MOLAR_MASS = {"NaOH": M_NAOH, "KOH": M_KOH}


@dataclass(frozen=True, slots=True)
class Piece:
    """A substance under its name on a label.

    Parameters
    ----------
    named : Named
        Its name. [name]
    mass_g : float
        As added, or of what has formed. [g]
    made_of : str
        The maker's word for what it comes of. [text]
    pointer : str
        Where that stands in the request, as a JSON Pointer. [text]
    role : str
        "ingredient", "perfume" or "colourant". [key]
    colour_status, colour_remark : str
        Of a colourant: whether it is shown as permitted, and by what. [text]
    doubt : str
        Why a fat or an acid is told as added, where its salt was asked for. [text]
    """

    named: Named
    mass_g: float
    made_of: str
    pointer: str
    role: str = "ingredient"
    colour_status: str = ""
    colour_remark: str = ""
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Content:
    """What is in something.

    Parameters
    ----------
    pieces : tuple of Piece
        Substances. [g]
    allergens : tuple of (str, float)
        Of scents: label name of a listed allergen, and how much of it. [g]
    """

    pieces: tuple[Piece, ...] = ()
    allergens: tuple[tuple[str, float], ...] = ()

    @property
    def mass_g(self) -> float:
        """All of it. [g]"""
        return math.fsum(piece.mass_g for piece in self.pieces)

    def times(self, factor: float) -> Content:
        """So many times as much of everything (`factor` [1]). [content]"""
        return Content(tuple(replace(piece, mass_g=piece.mass_g * factor) for piece in self.pieces),
                       tuple((name, mass * factor) for name, mass in self.allergens))


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Something that is used and does not stand on the list.

    Parameters
    ----------
    name, reason : str
        What, and why. [text]
    """

    name: str
    reason: str


def together(contents: Iterable[Content]) -> Content:
    """Several contents as one (`contents`). [content]"""
    found = tuple(contents)
    return Content(tuple(piece for one in found for piece in one.pieces),
                   tuple(pair for one in found for pair in one.allergens))


@dataclass(frozen=True, slots=True)
class _FatInPot:
    """Fat that alkali can turn: of the recipe, or the oil an addition is dispersed in. [g, mol/g]"""

    named: Named
    key: str | None
    name: str | None
    portion: FatPortion | None
    fat: Saponified
    made_of: str
    pointer: str


def pot_of(lye: Lye, additions: Sequence[WeighedAddition], namer: Namer, *, as_reacted: bool) -> Content:
    """What is in the pot, the batch's additions in it.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [g]
    additions : sequence of WeighedAddition
        The batch's own. [g]
    namer : Namer
        Of the market. [names]
    as_reacted : bool
        Soaps, glycerin and what stays free in place of fats and alkali. [yes or no]

    Returns
    -------
    Content : [g]

    Notes
    -----
    Which fat stays free cannot be chosen in cold process, so each keeps the same part of itself. A fat whose soap has
    no name known well enough is told as added, with the alkali it takes. What is not alkali in dry alkali counts with
    it as added; as reacted it is an impurity and no ingredient.
    """
    fats = [*_fats_of(lye, namer), *_dispersed(lye, additions, namer)]
    own = together(_of_addition(one, namer, f"/additions/{index}", oil=False) for index, one in enumerate(additions))
    water = _water(lye, namer)
    if as_reacted:
        return together((Content(tuple(_reacted(lye, fats, water, namer))), own))
    pieces = [_fat_piece(one, one.fat.mass_g) for one in fats]
    for index, acid in enumerate(lye.acids):
        pieces.append(Piece(namer.acid(acid.key), acid.weigh_g * acid.strength, acid.name, f"/recipe/acids/{index}"))
    pieces += _liquids(lye, namer)
    for index, alkali in enumerate(lye.alkalis):
        mass = alkali.weigh_pure_g if alkali.portion.brings_water else alkali.weigh_g
        pieces.append(Piece(namer.alkali(alkali.key), mass, alkali.name, f"/recipe/alkalis/{index}"))
    return together((Content((*pieces, water)), own))


def _fat_piece(fat: _FatInPot, mass_g: float, doubt: str = "") -> Piece:
    return Piece(fat.named, mass_g, fat.made_of, fat.pointer, doubt=doubt)


def _fats_of(lye: Lye, namer: Namer) -> list[_FatInPot]:
    turned = _turned(lye)
    found = []
    for index, (portion, weighed) in enumerate(zip(lye.recipe.fats, lye.fats, strict=True)):
        fat = weighed.fat
        found.append(_FatInPot(
            namer.fat(portion), portion.key, portion.name, portion,
            Saponified(weighed.weigh_g, fat.saponification_value.mid / MG_KOH_PER_MOL, fat.kind, turned,
                       fat.acid_value / MG_KOH_PER_MOL), fat.name, f"/recipe/fats/{index}"))
    return found


def _dispersed(lye: Lye, additions: Sequence[WeighedAddition], namer: Namer) -> list[_FatInPot]:
    turned = _turned(lye)
    found = []
    for index, weighed in enumerate(additions):
        contains = weighed.addition.contains
        value = None if contains is None else contains.fat_value
        if contains is None or value is None or not weighed.addition.in_batter:
            continue
        name = f"oil in {weighed.name}" if contains.fat is None else None
        found.append(_FatInPot(
            namer.fat_by_key(contains.fat, name), contains.fat, name, None,
            Saponified(_mass_in(weighed) * contains.fat_pct / 100, value.mid / MG_KOH_PER_MOL,
                       "triglyceride" if contains.fat is None else table_fat(contains.fat).kind, turned),
            weighed.name, f"/additions/{index}"))
    return found


def _turned(lye: Lye) -> float:
    """What part of every fat has turned to soap. [fraction]"""
    return min(1 - lye.superfat.achieved_pct / 100, 1.0)


def _mass_in(weighed: WeighedAddition) -> float:
    """What goes in is what the scale shows; what is too little for it is not lost for that. [g]"""
    return weighed.weigh_g or weighed.mass_g


def _water(lye: Lye, namer: Namer) -> Piece:
    in_acids = math.fsum(acid.weigh_g * (1 - acid.strength) for acid in lye.acids)
    in_alkalis = math.fsum(alkali.weigh_g - alkali.weigh_pure_g for alkali in lye.alkalis
                           if alkali.portion.brings_water)
    return Piece(namer.water, lye.water.weigh_g + in_acids + in_alkalis, "water", "/recipe/water")


def _liquids(lye: Lye, namer: Namer) -> list[Piece]:
    return [Piece(namer.thing(liquid.name), liquid.weigh_g, liquid.name, f"/recipe/liquids/{index}")
            for index, liquid in enumerate(lye.liquids)]


@dataclass(frozen=True, slots=True)
class _Formed:
    """What has formed of one fat or acid. [g, mol]"""

    salts_g: dict[str, float]
    glycerol_g: float
    water_g: float
    alkali_mol: float


def _turn(fat: Saponified, shares: dict[str, float]) -> _Formed:
    """A fat with its alkali, which several alkalis share by mol. [g]"""
    mol = fat.acids_mol + fat.esters_mol
    glycerol = fat.esters_mol * M_GLYCEROL / 3 if fat.kind == "triglyceride" else 0.0
    water = fat.acids_mol * M_WATER
    rest = fat.mass_g * fat.share - glycerol - water
    return _Formed({key: share * rest + mol * share * _MOLAR_MASS[key] for key, share in shares.items()}, glycerol,
                   water, mol)


def _reacted(lye: Lye, fats: Sequence[_FatInPot], water: Piece, namer: Namer) -> list[Piece]:
    pure = {alkali.key: alkali.weigh_pure_g / _MOLAR_MASS[alkali.key] for alkali in lye.alkalis}
    all_mol = math.fsum(pure.values())
    shares = {key: mol / all_mol for key, mol in pure.items()}
    pieces: list[Piece] = []
    glycerin: list[float] = []
    formed_water: list[float] = []
    used: list[float] = []

    def keep(formed: _Formed) -> None:
        glycerin.append(formed.glycerol_g)
        formed_water.append(formed.water_g)
        used.append(formed.alkali_mol)

    def as_added(piece: Piece, formed: _Formed) -> None:
        """No soap's name is known: the fat and the alkali it takes, as they were added."""
        pieces.append(piece)
        pieces.extend(Piece(namer.alkali(key), formed.alkali_mol * share * _MOLAR_MASS[key], piece.made_of,
                            piece.pointer) for key, share in shares.items())
        used.append(formed.alkali_mol)

    for fat in fats:
        salts = {key: namer.salt(fat.portion, fat.key, fat.name, key) for key in shares}
        formed = _turn(fat.fat, shares)
        named = [(key, salt) for key, salt in salts.items() if salt is not None]
        if len(named) < len(shares):
            as_added(_fat_piece(fat, fat.fat.mass_g, f"The name of the soap of {fat.made_of} is not known well enough "
                                'here: told as added. Look it up and give it as "inci_as_reacted".'), formed)
            continue
        keep(formed)
        pieces += [Piece(salt, formed.salts_g[key], fat.made_of, fat.pointer) for key, salt in named]
        pieces.append(_fat_piece(fat, fat.fat.mass_g * (1 - fat.fat.share)))
    for index, acid in enumerate(lye.acids):
        mass, mol = acid.weigh_g * acid.strength, acid.weigh_g * acid.strength * acid.acid.mol_per_g
        formed = _Formed({key: share * (mass - mol * M_WATER) + mol * share * _MOLAR_MASS[key]
                          for key, share in shares.items()}, 0.0, mol * M_WATER, mol)
        named = [(key, salt) for key in shares if (salt := namer.acid_salt(acid.key, key)) is not None]
        pointer = f"/recipe/acids/{index}"
        if len(named) < len(shares):
            as_added(Piece(namer.acid(acid.key), mass, acid.name, pointer, doubt="The name of the salt of "
                           f"{acid.name} is not known well enough here: told as added."), formed)
            continue
        keep(formed)
        pieces += [Piece(salt, formed.salts_g[key], acid.name, pointer) for key, salt in named]
    for piece, liquid in zip(_liquids(lye, namer), lye.liquids, strict=True):
        value = liquid.portion.fat_value
        if value is not None:
            formed = _turn(Saponified(liquid.fat_mass_g, value.mid / MG_KOH_PER_MOL, "triglyceride", _turned(lye)),
                           shares)
            keep(formed)
            alkali = math.fsum(formed.alkali_mol * share * _MOLAR_MASS[key] for key, share in shares.items())
            remark = f"{piece.named.remark} The soap of its fat is counted in it.".strip()
            piece = replace(piece, mass_g=piece.mass_g + alkali - formed.glycerol_g - formed.water_g,
                            named=replace(piece.named, remark=remark))
        pieces.append(piece)
    pieces.append(Piece(Named("Glycerin", "table"), math.fsum(glycerin), "set free by the fats", "/recipe/fats"))
    pieces.append(replace(water, mass_g=water.mass_g + math.fsum(formed_water)))
    if lye.superfat.achieved_pct < 0:
        free = all_mol - math.fsum(used)
        pieces += [Piece(namer.alkali(key), free * share * _MOLAR_MASS[key], "alkali that found no fat",
                         "/recipe/alkalis") for key, share in shares.items() if free > 0]
    return [piece for piece in pieces if piece.mass_g > 0]


def _of_addition(weighed: WeighedAddition, namer: Namer, pointer: str, *, oil: bool = True) -> Content:
    """An addition by its parts (`oil`: its oil is told here and not with the fats)."""
    addition, mass = weighed.addition, _mass_in(weighed)
    if not addition.in_batter:
        return Content()
    pieces = []
    contains = addition.contains
    rest = mass
    if contains is not None:
        rest -= mass * (contains.water_pct + contains.fat_pct) / 100
        if contains.water_pct:
            pieces.append(Piece(namer.water, mass * contains.water_pct / 100, addition.name, pointer))
        if contains.fat_pct and oil:
            name = f"oil in {addition.name}" if contains.fat is None else None
            pieces.append(Piece(namer.fat_by_key(contains.fat, name), mass * contains.fat_pct / 100, addition.name,
                                pointer))
    if rest > 0:
        pieces += _stirred_in(weighed, namer, rest, pointer)
    found = [(part.entry.label_name, mass * part.pct / 100) for part in addition.allergens if part.entry is not None]
    return Content(tuple(pieces), tuple(found))


def _stirred_in(weighed: WeighedAddition, namer: Namer, mass_g: float, pointer: str) -> list[Piece]:
    addition = weighed.addition
    if addition.kind == "fragrance":
        return [Piece(namer.perfume(addition), mass_g, addition.name, pointer, "perfume")]
    named = namer.thing(addition.name, addition.inci)
    if addition.kind == "colourant" or names_a_colour(named.text):
        return _coloured(addition.name, addition.inci, namer, mass_g, pointer)
    if addition.kind == "soap_pieces":
        named = replace(named, remark=f"{named.remark} Soap pieces have ingredients of their own: add them by "
                        "hand.".strip())
    return [Piece(named, mass_g, addition.name, pointer)]


def _coloured(name: str, inci: str | None, namer: Namer, mass_g: float, pointer: str) -> list[Piece]:
    colours = namer.colours(name, inci)
    shared = " How its parts share the mass is not known; equal parts are taken." if len(colours) > 1 else ""
    return [Piece(colour.named, mass_g / len(colours), name, pointer, "colourant", colour.status,
                  colour.remark + shared) for colour in colours]


def stays_in_bucket_g(division: Division) -> float:
    """What stays behind in each bucket (`division`), from the balance of the mould. [g]"""
    powder = math.fsum(portion.dusting.mass_g for portion in division.portions if portion.dusting is not None)
    poured = division.mould_mass_g - powder + (0.0 if division.overflow is None else division.overflow.mass_g)
    full = math.fsum(portion.mass_g for portion in division.portions)
    return max((full - poured) / len(division.portions), 0.0)


def buckets_of(division: Division, pot: Content, namer: Namer) -> dict[str, tuple[Content, Content]]:
    """What leaves each bucket, and the powder sifted on top of it.

    Parameters
    ----------
    division : Division
        The buckets. [g]
    pot : Content
        What is in the pot. [g]
    namer : Namer
        Of the market. [names]

    Returns
    -------
    dict of str to (Content, Content) : batter with its additions, and powder, by key of the portion. [g]
    """
    stays = stays_in_bucket_g(division)
    return {portion.key: (_bucket(portion, pot, division.pot_mass_g, stays, namer, index),
                          _powder(portion, namer, index)) for index, portion in enumerate(division.portions)}


def _bucket(portion: WeighedPortion, pot: Content, pot_g: float, stays_g: float, namer: Namer, index: int) -> Content:
    at = f"/portions/{index}/additions"
    own = together(_of_addition(one, namer, f"{at}/{number}") for number, one in enumerate(portion.additions))
    return together((pot.times(portion.batter_mass_g / pot_g), own)).times(1 - stays_g / portion.mass_g)


def _powder(portion: WeighedPortion, namer: Namer, index: int) -> Content:
    dusting = portion.dusting
    if dusting is None:
        return Content()
    pointer, mass = f"/portions/{index}/dusting", dusting.weigh_g or dusting.mass_g
    named = namer.thing(dusting.name)
    if names_a_colour(named.text):
        return Content(tuple(_coloured(dusting.name, None, namer, mass, pointer)))
    return Content((Piece(named, mass, dusting.name, pointer),))


def left_out(division: Division) -> tuple[LeftOut, ...]:
    """What is used and is no ingredient of the bar (`division`). [names]"""
    sprays = [one.name for one in (*division.additions, *(addition for portion in division.portions
                                                          for addition in portion.additions))
              if not one.addition.in_batter]
    return tuple(LeftOut(name, "A spray on top is taken to fly off: what does not stay in the bar is no ingredient. If "
                         "it leaves anything behind, add that by hand.") for name in dict.fromkeys(sprays))
