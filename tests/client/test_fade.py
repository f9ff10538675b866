"""The example that reads swatches from a photo: colours, cards, refusals, and the picture it draws.

The photos are made here, from known colours, with the sRGB functions of colour-science (IEC 61966-2-1) and numpy, and
never with those of the example.
"""

from __future__ import annotations

import importlib.util
import io
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import colour
import numpy
import pytest
from client.in_process import in_process, over
from kettlewright.app import create_app
from PIL import Image, ImageCms

EXAMPLE = Path(__file__).parents[2] / "client" / "examples" / "fade.py"
SWATCHES = ("#e0d8c9", "#d6a48f", "#b8705a", "#924230", "#70261b")
CARD = 0.18
DAYLIGHT, LAMP = (1.0, 1.0, 1.0), (0.95, 0.78, 0.55)


@pytest.fixture(scope="module")
def fade() -> Any:
    specification = importlib.util.spec_from_file_location("fade_example", EXAMPLE)
    assert specification is not None
    assert specification.loader is not None
    module = importlib.util.module_from_spec(specification)
    sys.modules["fade_example"] = module
    specification.loader.exec_module(module)
    return module


def photo(path: Path, *, ends: Sequence[Any] = (CARD, CARD), light: Sequence[float] = DAYLIGHT, slope: float = 1.0,
          exposure: float = 1.0, noise: float = 0.0, swatches: Sequence[str] = SWATCHES, **save: Any) -> Path:
    """A row of fields of 60 by 60 pixels; `slope`: the light at the right end, 1 at the left."""
    def linear(one: Any) -> Any:
        return numpy.full(3, one) if isinstance(one, float) else colour.models.eotf_sRGB(
            numpy.array([int(one[at:at + 2], 16) for at in (1, 3, 5)]) / 255)
    fields = numpy.repeat([linear(one) for one in (ends[0], *swatches, ends[1])], 60, axis=0)
    row = fields * numpy.array(light) * exposure * numpy.linspace(1, slope, len(fields))[:, None]
    steps = 255 * colour.models.eotf_inverse_sRGB(numpy.clip(row, 0, 1))
    steps = numpy.tile(steps, (60, 1, 1)) + numpy.random.default_rng(7).normal(0, noise or 1e-9, (60, len(row), 3))
    Image.fromarray(numpy.clip(numpy.rint(steps), 0, 255).astype("uint8")).save(path, **save)
    return path


def apart(first: str, second: str) -> int:
    """The largest difference of a channel, in steps of 8 bits."""
    return max(abs(int(first[at:at + 2], 16) - int(second[at:at + 2], 16)) for at in (1, 3, 5))


@pytest.mark.parametrize("given", [
    {}, {"light": LAMP}, {"light": LAMP, "slope": 0.7}, {"slope": 1.2, "exposure": 0.9}, {"noise": 6.0},
    {"exposure": 0.4, "light": LAMP}],
    ids=["daylight", "lamp", "lamp at the left", "lamp at the right", "noise", "dark"])
def test_the_colours_are_those_the_photo_was_made_of(fade: Any, tmp_path: Path, given: dict[str, Any]) -> None:
    found = fade.read_swatches(photo(tmp_path / "row.png", **given), len(SWATCHES))
    # 8 bits of a darker photo are coarser in the corrected one
    steps = 2 if given.get("exposure", 1.0) >= 0.9 else 4
    for swatch, known in zip(found, SWATCHES, strict=True):
        assert apart(swatch.colour, known) <= steps
    if given.get("light") == LAMP:  # which a reader without white balance would miss by far
        with Image.open(tmp_path / "row.png") as image:
            raw = image.getpixel((90, 30))
        assert apart("#" + "".join(f"{channel:02x}" for channel in raw), SWATCHES[0]) > 25


@pytest.mark.parametrize("known", SWATCHES)
def test_lightness_is_that_of_the_cie(fade: Any, known: str) -> None:
    rgb = numpy.array([int(known[at:at + 2], 16) for at in (1, 3, 5)]) / 255
    assert fade.lightness(known) == pytest.approx(colour.XYZ_to_Lab(colour.sRGB_to_XYZ(rgb))[0], abs=0.05)


def test_a_card_of_another_reflectance_is_taken_as_it_is(fade: Any, tmp_path: Path) -> None:
    row = photo(tmp_path / "row.png", ends=(0.5, 0.5), light=LAMP)
    for swatch, known in zip(fade.read_swatches(row, len(SWATCHES), card_pct=50), SWATCHES, strict=True):
        assert apart(swatch.colour, known) <= 2


def test_a_turned_photo_and_one_with_a_profile_are_read_alike(fade: Any, tmp_path: Path) -> None:
    plain = fade.read_swatches(photo(tmp_path / "row.png"), len(SWATCHES))
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    assert fade.read_swatches(photo(tmp_path / "tagged.png", icc_profile=profile), len(SWATCHES)) == plain
    with Image.open(tmp_path / "row.png") as image:
        exif = Image.Exif()
        exif[0x0112] = 6  # Exif 2.32, Orientation: to be turned by 90 degrees clockwise
        image.rotate(90, expand=True).save(tmp_path / "turned.png", exif=exif)
    assert fade.read_swatches(tmp_path / "turned.png", len(SWATCHES)) == plain


@pytest.mark.parametrize(("given", "words"), [
    ({"ends": (SWATCHES[0], SWATCHES[4])}, "the right end is too colourful to be grey"),
    ({"ends": (CARD, SWATCHES[1])}, "the two ends differ in colour, so one of them is no card"),
    ({"ends": (SWATCHES[0], CARD)}, "the two ends differ in colour"),
    ({"ends": ("#b8705a", "#b8705a")}, "the left end is too colourful to be grey"),
    ({"noise": 40.0}, "is not smooth"), ({"exposure": 0.02}, "neither too dark nor too bright"),
    ({"exposure": 6.0}, "neither too dark nor too bright"), ({"slope": 0.5}, "1.8 times as bright as the other"),
    ({"ends": (0.09, 0.09)}, "the card does not reflect 18 %")],
    ids=["no card", "no card at the right", "no card at the left", "swatches at both ends", "a table", "dark", "bright",
         "one-sided light", "another card"])
def test_a_photo_without_a_grey_card_is_refused(fade: Any, tmp_path: Path, given: dict[str, Any], words: str) -> None:
    with pytest.raises(fade.UnusablePhoto) as refused:
        fade.read_swatches(photo(tmp_path / "row.png", **given), len(SWATCHES))
    assert words in str(refused.value)


def test_what_is_no_photo_is_refused(fade: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "row.png").write_bytes(b"no picture")
    assert fade.main([str(tmp_path / "row.png")]) == 2
    assert "cannot be read as a photo" in capsys.readouterr().err
    assert fade.main([str(tmp_path / "none.png")]) == 2
    with pytest.raises(fade.UnusablePhoto, match="16 by 16 pixels"):
        fade.read_swatches(photo(tmp_path / "small.png"), 40)


def test_the_fade_of_the_invented_photo_is_that_of_its_colours(fade: Any, tmp_path: Path) -> None:
    fade.make_photo(tmp_path / "row.png")
    client, _ = over(in_process(create_app().test_client()))
    doses = [0.0, 0.5, 1.5, 4.0, 8.0]
    found = fade.plot_fade(client, tmp_path / "row.png", doses, 5, tmp_path / "fade.png")
    known = client.fades(swatches=[{"dose": dose, "colour": one} for dose, one in zip(doses, SWATCHES, strict=True)],
                         portions=[{"name": f"step {number}"} for number in range(1, 6)])
    for swatch, known_colour in zip(found.fit.swatches, SWATCHES, strict=True):
        assert apart(swatch.colour, known_colour) <= 2
    for one, other in zip(found.portions, known.portions, strict=True):
        assert one.dose == pytest.approx(other.dose, rel=0.1)
    with Image.open(io.BytesIO((tmp_path / "fade.png").read_bytes())) as picture:
        assert picture.size == (770, 880)
        colours = {one for _, one in picture.convert("RGB").getcolors(1 << 20)}
    for step in found.portions:  # the strip shows each step in its colour
        assert any(apart("#" + "".join(f"{channel:02x}" for channel in one), step.colour) == 0 for one in colours)
