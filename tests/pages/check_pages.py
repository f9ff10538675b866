"""Sheet and pictures in a real browser: axe finds nothing, the sheet prints on the pages it should. make test-pages.

    PYTHONPATH=tests python -m pages.check_pages [FOLDER]     with a folder, it keeps the PDF files there

Needs Chromium (CHROMIUM, else "chromium" on the path), poppler-utils and the extra "pages"; not part of make test.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient
from kettlewright.api.document.openapi import examples_of
from kettlewright.app import create_app
from kettlewright.languages import LOCALES
from pages.shown import SHOWN

ROOT = Path(__file__).resolve().parents[2]
_ZOOM = 3  # pdftohtml gives sizes in whole thirds of a point, and no finer
_SMALLEST_PT = 8.0
CHROMIUM = os.environ.get("CHROMIUM", "chromium")
RECIPE = {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
          "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}}
PICTURES: list[tuple[str, str, dict[str, Any]]] = [
    ("a trough", "/v1/batches", {"recipe": RECIPE, "mould": {"shape": "trough", "length": 250, "width": 90,
                                                            "base_width": 70, "depth": 80}}),
    ("columns", "/v1/batches", {"recipe": RECIPE, "arrangement": "columns", "mould": {
        "shape": "box", "length": 250, "width": 90, "depth": 80}, "portions": [
            {"name": "a", "share_pct": 60}, {"name": "b", "share_pct": 40}]}),
    ("a bowl", "/v1/moulds", {"mould": {"shape": "bowl", "diameter": 70, "depth": 35}, "fill": {"depth": 20}}),
    ("a cut plan", "/v1/cuts", {"block": {"length": 400, "width": 320, "height": 60}, "loaf": {"width": 75},
                                "bar": {"thickness": 25}, "kerf": 1}),
    ("a drying curve", "/v1/cure", {"weighings": [{"day": day, "mass": mass} for day, mass in (
        (0, 128.4), (7, 121.2), (14, 118.3), (28, 114.9), (35, 114.2))], "on": [{"day": 60}]})]


def browser(*options: str) -> str:
    """Run Chromium once (`options`); what it prints."""
    found = subprocess.run([CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", *options], check=True,
                           capture_output=True, text=True, timeout=120)
    return found.stdout


def findings(html: str, folder: Path) -> list[str]:
    """What axe says of a page."""
    axe = resources.files("axe_core_python").joinpath("axe.min.js").read_text(encoding="utf-8")
    run = ("axe.run(document, {}).then(found => { const out = document.createElement('script'); "
           "out.type = 'text/plain'; out.id = 'axe-found'; out.textContent = JSON.stringify(found.violations.map("
           "v => v.id + ': ' + v.nodes.map(n => n.html.slice(0, 90)).join(' | '))); "
           "document.body.appendChild(out); });")
    page = folder / "page.html"
    page.write_text(html.replace("</body>", f"<script>{axe}</script><script>{run}</script></body>"), encoding="utf-8")
    dom = browser("--virtual-time-budget=20000", "--dump-dom", page.as_uri())
    match = re.search(r'id="axe-found">(.*?)</script>', dom, re.DOTALL)
    if match is None:
        raise SystemExit("axe did not answer")
    found: list[str] = json.loads(match[1])
    return found


@dataclass(frozen=True, slots=True)
class Printed:
    """A page as printed: how many sheets of paper, and its smallest letters in points."""

    pages: int
    smallest_pt: float


def printed(html: str, folder: Path, paper: str | None = None) -> Printed:
    """Print a page (`html`, `folder`: for the files, `paper`: its size; that of its style where there is none)."""
    sized = html if paper is None else html.replace("<style>", f"<style>@page {{ size: {paper}; }}")
    page, pdf = folder / "sheet.html", folder / "sheet.pdf"
    page.write_text(sized, encoding="utf-8")
    browser("--no-pdf-header-footer", f"--print-to-pdf={pdf}", page.as_uri())
    words = subprocess.run(["pdftohtml", "-xml", "-i", "-zoom", str(_ZOOM), "-stdout", str(pdf)], check=True,
                           capture_output=True, text=True, timeout=60).stdout
    sizes = [int(size) for size in re.findall(r'<fontspec [^>]*size="(\d+)"', words)]
    return Printed(words.count("<page "), min(sizes) / _ZOOM)


def batches_to_print() -> dict[str, dict[str, Any]]:
    """Bodies of /v1/batches whose sheet, card and record are printed, by title."""
    demos = {f"demo {demo}": json.loads((ROOT / "client" / "examples" / f"{demo}.json").read_text("utf-8"))
             for demo in ("kiln_dusk", "ember_round")}
    examples = {f"example: {example['title']}": example["body"] for example in examples_of("batches")[1:]}
    return {**SHOWN, **demos, **examples}


def papers_of(client: FlaskClient, body: dict[str, Any]) -> dict[str, str]:
    """Sheet, card and record of a batch (`client`, `body`: of /v1/batches). [HTML]"""
    plan = client.post("/v1/batches", json=body).json
    assert plan is not None
    weighed = [{"where": row["where"], "key": row["key"], "mass": row["weigh"]} for row in plan["weigh_list"]
               if row["where"] in ("jug", "pot") and row["kind"] not in ("addition", "dispersion")]
    actuals = {"plan": body, "locale": body.get("locale", "en"), "identity": plan["identity"], "stage": "lye_made",
               "weighed": weighed}
    pages = {}
    for name, path, sent in (("sheet", "/v1/batches?format=html", body), ("card", "/v1/batches?form=card", body),
                             ("record", "/v1/batches/actuals?format=html", actuals)):
        reply = client.post(path, json=sent)
        assert reply.status_code == 200, reply.text
        pages[name] = reply.text
    return pages


def pictures_to_check(client: FlaskClient) -> dict[str, str]:
    """Pictures, each as a page, by title (`client`)."""
    pages = {}
    for title, path, body in PICTURES:
        reply = client.post(f"{path}?format=svg", json=body)
        assert reply.status_code == 200, reply.text
        pages[title] = (f'<!doctype html><html lang="en"><head><title>{title}</title></head><body><main>'
                        f"<h1>{title}</h1>{reply.text}</main></body></html>")
    return pages


def sheets_of_paper_at_most(kind: str, body: dict[str, Any], html: str) -> int:
    """How many pages it may take (`kind`: sheet, card or record; `body`: of the batch; `html`).

    A sheet: two of work for a plain batch, three for buckets or with drafts of labels; then the sources, and a page of
    costs.
    """
    if kind != "sheet":
        return {"card": 1, "record": 2}[kind]
    return (3 if len(body.get("portions", ())) > 2 or "label" in body else 2) + 1 + ('class="costs"' in html)


def torn(pdf: Path) -> bool:
    """Whether a page break runs through a bucket or the jug of an English sheet (`pdf`).

    A bucket begins with its full mass and ends with its depth below the rim; the jug ends with its alkali.
    """
    pages = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], check=True, capture_output=True, text=True,
                           timeout=60).stdout.split("\f")
    jug = next(page.partition("Jug: add the alkali")[2] for page in pages if "Jug: add the alkali" in page)
    if "hydroxide" not in jug.partition("Actual")[2] and "Pot" not in jug:
        return True
    layers = any("total in bucket" in page for page in pages) and not any("Then pour" in page for page in pages)
    return layers and any(page.count("total in bucket") != page.count("below the rim") for page in pages)


def main(keep: Path | None = None) -> None:
    """Check everything; the exit code is 1 if something is wrong (`keep`: folder for the PDF files)."""
    for program in (CHROMIUM, "pdftohtml"):
        if shutil.which(program) is None:
            raise SystemExit(f"{program} is not here; install it (Chromium may be named by CHROMIUM)")
    client, bad = create_app().test_client(), 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for title, html in pictures_to_check(client).items():
            bad += _report(title, findings(html, folder))
        print(f"{'batch':<52} {'page':<7} {'text':<4} {'paper':<8} pages at most  smallest   bytes")
        for title, body in batches_to_print().items():
            for locale in LOCALES:
                for kind, html in papers_of(client, {**body, "locale": locale}).items():
                    bad += _report(f"{title}, {kind}, {locale}", findings(html, folder), quiet=True)
                    most = sheets_of_paper_at_most(kind, body, html)
                    for paper in (None,) if kind == "card" else ("A4", "Letter"):
                        found = printed(html, folder, paper)
                        wrong = found.pages > most or found.smallest_pt < _SMALLEST_PT or (
                            (kind, locale) == ("sheet", "en") and torn(folder / "sheet.pdf"))
                        bad += wrong
                        print(f"{title[:52]:<52} {kind:<7} {locale:<4} {paper or 'its own':<8} {found.pages:>5} "
                              f"{most:>7} {found.smallest_pt:>6.1f} pt {len(html.encode()):>7}"
                              f"{'  WRONG' if wrong else ''}")
                        if keep is not None:
                            slug = re.sub(r"\W+", "-", f"{title} {kind} {locale} {paper or ''}".lower()).strip("-")
                            shutil.copy(folder / "sheet.pdf", keep / f"{slug}.pdf")
    sys.exit(1 if bad else 0)


def _report(title: str, found: list[str], *, quiet: bool = False) -> int:
    """Print what axe found (`quiet`: nothing if it found nothing); how much. [number]"""
    if found or not quiet:
        print(f"{title}: {'nothing found' if not found else ''}", *found, sep="\n  " if found else "")
    return len(found)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
