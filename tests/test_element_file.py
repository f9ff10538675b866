"""The element's file that pages load, as it is in the repository. The element at work is in tests/embed (a browser)."""

from __future__ import annotations

import gzip
import hashlib
import itertools
import re
from pathlib import Path

from coloraide import Color

WEB = Path(__file__).parents[1] / "client" / "web"
SMALL = WEB / "kettlewright.min.js"
BYTES_MAX, PACKED_MAX = 20_000, 8_000


def test_the_file_is_built_from_the_modules_beside_it() -> None:
    digest = hashlib.sha256()
    for path in [WEB / "kettlewright.js", *sorted((WEB / "element").iterdir())]:
        digest.update(f"{path.relative_to(WEB).as_posix()}\n{path.read_text(encoding='utf-8')}".encode())
    first = SMALL.read_text(encoding="utf-8").partition("\n")[0]
    assert first.split()[-1] == digest.hexdigest()[:8], "make element builds it anew"


def test_the_file_is_small() -> None:
    file = SMALL.read_bytes()
    assert 10_000 < len(file) <= BYTES_MAX
    assert len(gzip.compress(file, 9)) <= PACKED_MAX


def test_the_file_needs_no_other_but_the_german_words_and_no_inline_anything() -> None:
    text = SMALL.read_text(encoding="utf-8")
    assert re.findall(r'\bimport\b[^;]{0,60}', text) == [found for found in re.findall(r'\bimport\b[^;]{0,60}', text)
                                                       if found.startswith('import("./kettlewright.de.js")')]
    assert (WEB / "kettlewright.de.js").exists()
    for path in [SMALL, WEB / "kettlewright.js", *(WEB / "element").iterdir()]:
        for dangerous in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(", "DOMParser",
                          "localStorage", "sessionStorage", "document.cookie", "https://", "http://"):
            shown = path.read_text(encoding="utf-8").replace('service="https://maths.example"', "")
            assert dangerous not in shown, f"{path.name}: {dangerous}"


def test_colours_of_new_buckets_differ_for_every_eye() -> None:
    palette = re.search(r"PALETTE = \[(.*?)\]", (WEB / "element" / "steps.js").read_text(encoding="utf-8"))
    assert palette is not None
    colours = re.findall(r"#[0-9a-f]{6}", palette[1])
    assert len(colours) >= 6
    # CIEDE2000 (ISO/CIE 11664-6): about 2 can just be seen; 20 are different colours (common practice, no source)
    for one, other in itertools.combinations(colours, 2):
        assert Color(one).delta_e(other, method="2000") > 20, f"{one} and {other}"
        for eyes in ("protan", "deutan", "tritan"):
            seen = Color(one).filter(eyes).delta_e(Color(other).filter(eyes), method="2000")
            assert seen > 8, f"{one} and {other}, {eyes}"
    for one, other in itertools.pairwise(colours):  # layers that touch differ in grey too
        assert abs(Color(one).convert("lab")["l"] - Color(other).convert("lab")["l"]) > 20, f"{one} and {other}"
