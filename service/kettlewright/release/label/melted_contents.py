"""Contents of soap that is melted down again, under the names of a label."""

from __future__ import annotations

from kettlewright.copies import replace
from kettlewright.pour import Division, WeighedAddition
from kettlewright.recipe import Lye
from kettlewright.release.label.bucket_contents import buckets_of
from kettlewright.release.label.contents import Content, Substance, content_of_addition, together
from kettlewright.release.label.naming import Namer
from kettlewright.release.label.pot_contents import pot_of
from kettlewright.said import Said

__all__ = ["content_of_liquid", "content_of_soap", "content_stirred_in"]


def content_of_soap(lye: Lye, division: Division, namer: Namer, *, as_reacted: bool, portion: str | None = None,
                    at: str = "") -> Content:
    """Everything of a batch that reached a mould, or everything of one of its portions, powder included.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [g]
    division : Division
        Its buckets. [g]
    namer : Namer
        Of the market. [names]
    as_reacted : bool
        List soaps, glycerin and free fat instead of fats and alkali. [yes or no]
    portion : str, optional
        Key of the portion; all of them if not given. [key]
    at : str
        JSON Pointer to the batch in the request. [text]

    Returns
    -------
    Content : fresh, as poured. [g]
    """
    buckets = buckets_of(division, pot_of(lye, division.additions, namer, as_reacted=as_reacted), namer)
    whole = together(content for key, pair in buckets.items() if portion in (None, key) for content in pair)
    return replace(whole, pieces=tuple(replace(piece, pointer=f"{at}{piece.pointer}") for piece in whole.pieces))


def content_of_liquid(name: str | None, mass_g: float, water_g: float, namer: Namer, at: str) -> Content:
    """A liquid that soap is melted with.

    Parameters
    ----------
    name : str, optional
        The maker's word for it; None for water. [text]
    mass_g, water_g : float
        All of it, and the water in it. [g]
    namer : Namer
        Of the market. [names]
    at : str
        JSON Pointer to it in the request. [text]

    Returns
    -------
    Content : nothing if there is none of it. [g]
    """
    if not mass_g:
        return Content()
    if name is None:
        return Content((Substance(namer.water, mass_g, Said("water"), at),), water_g=water_g)
    return Content((Substance(namer.thing(name), mass_g, name, at),), water_g=water_g)


def content_stirred_in(additions: tuple[WeighedAddition, ...], namer: Namer) -> Content:
    """Additions to melted soap: their oil gets no alkali, so it is listed as such (`additions`, `namer`). [g]"""
    return together(content_of_addition(one, namer, f"/additions/{index}") for index, one in enumerate(additions))
