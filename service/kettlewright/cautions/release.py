"""Cautions of the release: label, prices, packs."""

from __future__ import annotations

from collections.abc import Iterable

from kettlewright.amounts import at_most, mass
from kettlewright.cautions.triggered import Caution, triggered, without_repeats
from kettlewright.names import nearest
from kettlewright.release import Label
from kettlewright.said import NO_TEXT, Said

__all__ = ["of_label", "of_missing_packs", "of_missing_prices"]

_OF_THE_BAR = frozenset({"superfat-negative", "superfat-may-be-negative", "rebatch-or-discard",
                         "fragrance-limit-exceeded", "fragrance-limit-unknown"})


def of_label(label: Label, batch: Iterable[Caution] = ()) -> tuple[Caution, ...]:
    """Cautions of a label.

    Parameters
    ----------
    label : Label
        The label. [label]
    batch : iterable of Caution
        Those of the batch; only those that concern the bar for sale are kept. [cautions]

    Returns
    -------
    tuple of Caution : without repeats. [cautions]
    """
    found = [caution for caution in batch if caution.key in _OF_THE_BAR]
    lines = [line for bar in label.bars for line in bar.ingredients]
    for line in lines:
        pointer = next(iter(line.pointers), "/label")
        if line.named_by == "fallback" and line.colour_status is None:
            found.append(triggered("label-name-unknown", Said(
                'No label name is known for "{name}": your own word is printed. Give its "inci".',
                name=line.name), pointer))
        found += [triggered("label-name-uncertain", doubt, pointer) for doubt in line.doubts]
        if line.colour_status in ("not_shown", "not_listed"):
            found.append(triggered(
                "colourant-status-unknown", Said(
                    "{why} Ask its supplier for the colour index number and where it is permitted, and give them as "
                    '"inci" and "permitted_in".', why=line.remarks[-1]), pointer,
                "warning" if line.colour_status == "not_listed" else None))
    for bar in label.bars:
        for one in bar.allergens:
            if one.prohibited and label.market.key != "US":
                found.append(triggered("allergen-prohibited", Said(
                    "Do not sell this in the EU or Great Britain: {allergen} ({part:.3g} % of the cured bar) is "
                    "prohibited in cosmetics there. Ask your supplier for a scent without it.", allergen=one.name,
                    part=one.concentration_pct), "/label/market"))
        net = bar.net_quantity
        if net is not None and net.asked and net.short_count:
            found.append(triggered("net-quantity-short", Said(
                "About {short} of {count} bars ({share:.1f} %) will weigh less than {promise}. The rules of average "
                "quantity allow this. Every bar will weigh at least {every}.", short=net.short_count,
                count=bar.count or 0, share=net.short_share_pct, promise=net.text or "",
                every=at_most(mass(net.every_bar_g))),
                "/label/net_quantity"))
    if label.sold_as == "soap" and label.soap_part_pct <= 50:
        found.append(triggered("no-soap-by-rule", label.what_follows or NO_TEXT, "/label/sold_as"))
    return tuple(without_repeats(found))


def of_missing_prices(missing: Iterable[tuple[str, str]], given: Iterable[str] = (), *,
                      at: str = "/prices/ingredients") -> tuple[Caution, ...]:
    """One caution that names everything without a price.

    Parameters
    ----------
    missing : iterable of (key, name)
        Key and name of each ingredient without a price. [text]
    given : iterable of str
        Keys that have a price: a mistyped key is pointed out. [keys]
    at : str
        JSON Pointer to the prices. [text]

    Returns
    -------
    tuple of Caution : none, or one. [cautions]
    """
    named = _named(missing, given)
    return (triggered("price-missing", Said(
        "No price is given for {named:, }. The true cost is higher, and there is no selling price without it. Give "
        "each a price; 0 if it costs nothing.", named=named), at),) if named else ()


def of_missing_packs(missing: Iterable[tuple[str, str]], given: Iterable[str] = (), *,
                     at: str = "/packs") -> tuple[Caution, ...]:
    """One caution that names everything to buy without a pack (`missing`, `given`, `at` as in `of_missing_prices`
    [text]).

    Returns
    -------
    tuple of Caution : none, or one. [cautions]
    """
    named = _named(missing, given)
    return (triggered("pack-missing", Said(
        "You need {named:, }, but no pack size is given. The true cost is higher. Give the packs each is sold in, or "
        "state that you have enough at hand.", named=named), at),) if named else ()


def _named(things: Iterable[tuple[str, str]], given: Iterable[str]) -> tuple[str, ...]:
    known = list(dict.fromkeys(given))
    found: list[str] = []
    for key, name in things:
        near = nearest(key, known)
        if near:
            found.append(Said('{name} (its key is "{key}"; you gave "{near}")', name=name, key=key,
                              near=near[0]))
        else:
            found.append(name if name == key else Said("{name} ({key})", name=name, key=key))
    return tuple(found)
