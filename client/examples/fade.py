"""A fade from a photo of your swatches, step by step as in a notebook: editors run the parts after `# %%` as cells.

    .venv/bin/python client/examples/fade.py --make row.png                    # an invented photo, to try it
    .venv/bin/python client/examples/fade.py row.png --doses 0 0.5 1.5 4 8 --steps 5 --out fade.png

The photo shows one row and nothing else, in fields of equal width: a grey card, your swatches from left to right in the
order of `--doses` (g per kg of batter), the same grey card again. The script needs a running service (`--url`, or
KETTLEWRIGHT_URL, or http://127.0.0.1:8000), and Pillow and matplotlib: pip install 'kettlewright-client[examples]'.

What a photo can and cannot say:

- The cards remove the tint and the slope of the light along the row. They cannot remove gloss, shadows on a swatch, the
  contrast that a phone adds, or colours that its sensor sees in another way than an eye. Expect a few steps of L*.
- Two kinds of lamp at once, or a card that is not neutral, give wrong colours that nothing here detects.
- Without both cards, or with a photo that is too bright or too dark, no colour is read at all.
- Photograph cured soap in daylight shade, without flash, at a fixed exposure and white balance.
- A better fit of the curve is no proof of the colours: compare the strip with a cured bar.
"""

# %% What is read
from __future__ import annotations

import argparse
import io
import os
import sys
from dataclasses import dataclass
from pathlib import Path
from statistics import mean
from typing import Any

import matplotlib
import numpy
from kettlewright_client import Client, ClientError
from PIL import Image, ImageCms, ImageOps

matplotlib.use("Agg")
from matplotlib import pyplot  # after the choice of a backend that needs no screen

CARD_PCT = 18.0
"""Reflectance of a photographer's grey card, as its makers give it (common practice, no source). [%]"""
INNER = 0.5
"""Middle part of a field that is read, in each direction, so that no edge is."""
TINT_MAX = 2.5
"""Largest ratio of two channels on a card, in linear light (own decision): a household lamp stays below it."""
SLOPE_MAX = 1.6
"""Largest ratio between the cards, in linear light (own decision)."""
TINT_CHANGE_MAX = 1.08
"""Largest change of tint from card to card (own decision): more is another lamp, or no card."""
SCATTER_MAX = 12.0
"""Largest standard deviation on a card, in steps of 8 bits (own decision): a card is smooth."""
DARKEST, BRIGHTEST = 20.0, 245.0
"""A card outside these steps of 8 bits is under- or overexposed."""
Linear = tuple[float, float, float]


class UnusablePhoto(ValueError):
    """The photo does not show what is needed, or not well enough."""


@dataclass(frozen=True)
class Field:
    """A field of the row: its colour in linear light and its scatter in steps of 8 bits."""

    light: Linear
    scatter: float


@dataclass(frozen=True)
class Swatch:
    """A swatch: its colour as sRGB, and the scatter of its surface in steps of 8 bits."""

    colour: str
    scatter: float


# %% From the photo to colours
def to_light(value: float) -> float:
    """A channel of sRGB (0 to 255) as linear light, by IEC 61966-2-1. [0 to 1]"""
    share = value / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def from_light(light: float) -> int:
    """Linear light (0 to 1) as a channel of sRGB, by IEC 61966-2-1. [0 to 255]"""
    share = light * 12.92 if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055
    return round(share * 255)


def lightness(colour: str) -> float:
    """CIE L* of a colour above the darkest (L* = 116 Y^(1/3) - 16; Y by IEC 61966-2-1). [0 to 100]"""
    red, green, blue = (to_light(int(colour[at:at + 2], 16)) for at in (1, 3, 5))
    return 116 * (0.2126 * red + 0.7152 * green + 0.0722 * blue) ** (1 / 3) - 16


def opened(photo: Path) -> Image.Image:
    """The photo upright and in sRGB."""
    try:
        image = ImageOps.exif_transpose(Image.open(photo))
        profile = image.info.get("icc_profile")
        if profile:
            changed = ImageCms.profileToProfile(image, ImageCms.ImageCmsProfile(io.BytesIO(profile)),
                                                ImageCms.createProfile("sRGB"), outputMode="RGB")
            assert changed is not None  # only a change in place gives none
            return changed
        return image.convert("RGB")
    except (OSError, Image.DecompressionBombError, ImageCms.PyCMSError) as error:
        raise UnusablePhoto(f"{photo} cannot be read as a photo: {error}") from None


def fields_of(image: Image.Image, count: int) -> list[Field]:
    """The row in so many fields of equal width, the middle of each."""
    width, height = image.size[0] / count, image.size[1]
    if width < 16 or height < 16:
        raise UnusablePhoto(f"The photo has {image.size[0]} by {height} pixels for {count} fields; the least is 16 by "
                            "16 pixels a field.")
    found = []
    for number in range(count):
        left, top = (number + (1 - INNER) / 2) * width, (1 - INNER) / 2 * height
        inner = image.crop((round(left), round(top), round(left + INNER * width), round(top + INNER * height)))
        steps = numpy.asarray(inner, dtype=float).reshape(-1, 3)
        red, green, blue = (to_light(float(middle)) for middle in numpy.median(steps, axis=0))
        found.append(Field((red, green, blue), float(steps.std(axis=0).max())))
    return found


def check_cards(left: Field, right: Field) -> None:
    """Refuse a row whose ends are not the same grey card in the same light."""
    no_card = "The photo needs the same grey card at its left and at its right end"
    for where, card in (("left", left), ("right", right)):
        steps = [from_light(channel) for channel in card.light]
        if card.scatter > SCATTER_MAX:
            raise UnusablePhoto(f"{no_card}; the {where} end is not smooth (it scatters by {card.scatter:.0f} steps).")
        if not min(steps) >= DARKEST or not max(steps) <= BRIGHTEST:
            raise UnusablePhoto(f"{no_card}, neither too dark nor too bright; the {where} end is rgb{tuple(steps)}. "
                                "Put a card there, or change the exposure.")
        if max(card.light) > TINT_MAX * min(card.light):
            raise UnusablePhoto(f"{no_card}; the {where} end is too colourful to be grey: rgb{tuple(steps)}.")
    ratios = [one / other for one, other in zip(left.light, right.light, strict=True)]
    if max(ratios) > TINT_CHANGE_MAX * min(ratios):
        raise UnusablePhoto(f"{no_card}; the two ends differ in colour, so one of them is no card, or two kinds of "
                            "light fall on the row.")
    if not 1 / SLOPE_MAX <= mean(ratios) <= SLOPE_MAX:
        times = max(mean(ratios), 1 / mean(ratios))
        raise UnusablePhoto(f"{no_card}; one end is {times:.1f} times as bright as the other. Light the row evenly.")


def read_swatches(photo: Path, count: int, card_pct: float = CARD_PCT) -> list[Swatch]:
    """The colours of the swatches between the cards, as under neutral and even light.

    Each channel is scaled in linear light so that the card has its reflectance; between the cards the scale is
    interpolated along the row.
    """
    left, *between, right = fields_of(opened(photo), count + 2)
    check_cards(left, right)
    found = []
    for number, field in enumerate(between, 1):
        at = number / (count + 1)
        light = [card_pct / 100 * channel / ((1 - at) * first + at * last)
                 for channel, first, last in zip(field.light, left.light, right.light, strict=True)]
        if max(light) > 1.02:  # a little more than all light is noise of a white
            raise UnusablePhoto(f"Swatch {number} would reflect {100 * max(light):.0f} % of the light: it shines, or "
                                f"the card does not reflect {card_pct:g} %.")
        found.append(Swatch("#" + "".join(f"{min(255, from_light(channel)):02x}" for channel in light), field.scatter))
    return found


# %% An invented photo, to try it
def make_photo(path: Path) -> None:
    """Five invented swatches between two cards, in the warm light of a lamp on the right."""
    swatches = [(224, 216, 201), (214, 164, 143), (184, 112, 90), (146, 66, 48), (112, 38, 27)]
    row = [None, *swatches, None]
    image = Image.new("RGB", (120 * len(row), 160))
    for x in range(image.size[0]):
        lamp = 0.85 + 0.3 * x / image.size[0]
        colour = row[x // 120]
        light = [CARD_PCT / 100] * 3 if colour is None else [to_light(channel) for channel in colour]
        seen = tuple(min(255, from_light(one * lamp * tint))
                     for one, tint in zip(light, (0.95, 0.82, 0.63), strict=True))
        image.paste(seen, (x, 0, x + 1, 160))
    image.save(path)


# %% The fade, and how sure it is
def draw(fade: Any, swatches: list[Swatch], out: Path) -> None:
    """Lightness against dose with the range of each step, the strip, and how far the fit misses each swatch."""
    figure, (curve, strip, misses) = pyplot.subplots(3, 1, figsize=(7, 8), height_ratios=(4, 1.2, 2),
                                                     layout="constrained")
    for step in fade.portions:
        light, band = step.lab.lightness, step.band
        if band is not None:
            curve.vlines(step.dose, band.lightness_min, band.lightness_max, colors="0.4", linewidth=2)
        curve.plot(step.dose, light, "o", markersize=11, color=step.colour, markeredgecolor="0.2")
        curve.annotate(step.name, (step.dose, light), xytext=(0, 14), textcoords="offset points", ha="center",
                       fontsize=8)
    curve.plot([one.dose for one in fade.fit.swatches], [lightness(one.colour) for one in swatches], "x", color="0.2",
               label="swatches in the photo")
    curve.margins(0.08, 0.12)
    curve.legend()
    curve.set(xlabel="dose [g per kg of batter]", ylabel="lightness L*",
              title="Steps of the fade" + ("; bars: 95 % range" if any(one.band for one in fade.portions) else
                                           "; too few swatches for a range"))
    for number, step in enumerate(reversed(fade.portions)):
        strip.add_patch(pyplot.Rectangle((number, 0), 1, 1, color=step.colour))
        strip.text(number + 0.5, -0.12, f"{step.dose:.3g}", ha="center", va="top", fontsize=8)
    strip.set(xlim=(0, len(fade.portions)), ylim=(-0.5, 1), title="Predicted strip, doses below")
    strip.axis("off")
    missed = [one.off for one in fade.fit.swatches]
    misses.bar(range(len(missed)), missed, color=[one.colour for one in swatches], edgecolor="0.2")
    misses.set_xticks(range(len(missed)), [f"{one.dose:g}" for one in fade.fit.swatches])
    left_out = fade.fit.left_out_error
    misses.set(xlabel="swatch, by its dose [g per kg of batter]", ylabel="missed by [CIEDE2000]",
               title="Error of the fit" + ("" if left_out is None else f"; of a swatch left out: {left_out:.1f}"))
    figure.savefig(out, dpi=110)
    pyplot.close(figure)


def plot_fade(client: Client, photo: Path, doses: list[float], steps: int, out: Path,
              card_pct: float = CARD_PCT) -> Any:
    """Read the photo, compute the fade, draw it; the fade."""
    swatches = read_swatches(photo, len(doses), card_pct)
    fade = client.fades(
        swatches=[{"dose": dose, "colour": swatch.colour} for dose, swatch in zip(doses, swatches, strict=True)],
        portions=[{"name": f"step {number}"} for number in range(1, steps + 1)])
    draw(fade, swatches, out)
    return fade


def main(arguments: list[str]) -> int:
    """What the command does; the exit code."""
    parser = argparse.ArgumentParser(description="Plots a fade and its error from a photo of your swatches.")
    parser.add_argument("photo", type=Path, nargs="?", help="card, swatches, card, in fields of equal width")
    parser.add_argument("--doses", type=float, nargs="+", default=[0, 0.5, 1.5, 4, 8],
                        help="g per kg of batter, from the left (those of the invented photo)")
    parser.add_argument("--steps", type=int, default=5, help="portions of the fade (5)")
    parser.add_argument("--card", type=float, default=CARD_PCT, help="reflectance of the card in %% (18)")
    parser.add_argument("--out", type=Path, default=Path("fade.png"), help="the picture (fade.png)")
    parser.add_argument("--url", default=os.environ.get("KETTLEWRIGHT_URL", "http://127.0.0.1:8000"))
    parser.add_argument("--make", type=Path, metavar="PHOTO", help="write an invented photo, and do no more")
    options = parser.parse_args(arguments)
    if options.make:
        make_photo(options.make)
        print(f"{options.make}: invented swatches of 0, 0.5, 1.5, 4 and 8 g/kg between two grey cards")
        return 0
    if options.photo is None:
        parser.error("name a photo, or --make one")
    try:
        fade = plot_fade(Client(options.url), options.photo, options.doses, options.steps, options.out, options.card)
    except (UnusablePhoto, ClientError, OSError) as error:
        print(error, file=sys.stderr)
        return 2
    for one in fade.fit.swatches:
        print(f"swatch {one.dose:g} g/kg: {one.colour} in the photo, {one.predicted} fitted, missed by {one.off:.1f}")
    for step in fade.portions:
        print(f"{step.name}: {step.dose:.3g} g/kg, {step.colour}")
    print(*fade.notes, "Colours read from a photo are estimates.", sep="\n")
    print(f"{options.out}: the fade and its error")
    return 0


# %% The command
if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
