"""Sheet and pictures in a real browser: axe finds nothing, the sheet prints on the pages it should. make test-pages.

Needs Chromium (CHROMIUM, else "chromium" on the path) and the extra "pages"; not part of make test.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from importlib import resources
from pathlib import Path
from typing import Any

from kettlewright.app import create_app
from kettlewright.languages import LOCALES

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = os.environ.get("CHROMIUM", "chromium")
RECIPE = {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
          "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}}
LOAF = {"recipe": RECIPE, "mould": {"shape": "box", "length": 250, "width": 80, "depth": 80, "headspace": 5},
        "residue": {"pot": 10}, "expected_loss_pct": 11, "cut": {"bar": {"thickness": 25}, "kerf": 1},
        "additions": [{"name": "lavender", "kind": "fragrance", "dose": 2.5, "basis": "pct_of_fats", "limit_pct": 3.1}],
        "dates": {"pour": "2027-02-01", "unmould_days": 1, "cure_days": 42, "packing_days": 3}}
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
    told = re.search(r'id="axe-found">(.*?)</script>', dom, re.DOTALL)
    if told is None:
        raise SystemExit("axe did not answer")
    found: list[str] = json.loads(told[1])
    return found


def pages_printed(html: str, folder: Path) -> int:
    """How many pages a sheet takes."""
    (folder / "sheet.html").write_text(html, encoding="utf-8")
    browser("--no-pdf-header-footer", f"--print-to-pdf={folder / 'sheet.pdf'}", (folder / "sheet.html").as_uri())
    return len(re.findall(rb"/Type\s*/Page\b", (folder / "sheet.pdf").read_bytes()))


def main() -> None:
    """Check everything; the exit code tells."""
    if shutil.which(CHROMIUM) is None:
        raise SystemExit(f"{CHROMIUM} is not here; install Chromium or set CHROMIUM")
    client, bad = create_app().test_client(), 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        pages = {}
        for demo in ("kiln_dusk", "ember_round", "blue_hour"):
            body = json.loads((ROOT / "client" / "examples" / f"{demo}.json").read_text(encoding="utf-8"))
            for locale in LOCALES:
                for word, form in (("sheet", "format=html"), ("card", "form=card")):
                    pages[f"{word} of {demo}, {locale}"] = client.post(f"/v1/batches?{form}",
                                                                       json={**body, "locale": locale}).text
        for locale in LOCALES:
            pages[f"sheet of a plain loaf, {locale}"] = client.post("/v1/batches?format=html",
                                                                    json={**LOAF, "locale": locale}).text
        examples = json.loads(resources.files("kettlewright.api").joinpath("endpoints", "examples", "batches.json").read_text(
            encoding="utf-8"))
        for example in examples[1:]:
            for locale in LOCALES:
                pages[f"sheet: {example['title']}, {locale}"] = client.post(
                    "/v1/batches?format=html", json={**example["body"], "locale": locale}).text
        for title, path, body in PICTURES:
            svg = client.post(f"{path}?format=svg", json=body).text
            pages[title] = (f'<!doctype html><html lang="en"><head><title>{title}</title></head><body><main>'
                            f"<h1>{title}</h1>{svg}</main></body></html>")
        for title, html in pages.items():
            found = findings(html, folder)
            bad += len(found)
            print(f"{title}: {'nothing found' if not found else ''}", *found, sep="\n  " if found else "")
            if title.startswith("card"):
                count = pages_printed(html, folder)  # its own size of paper
                print(f"  prints on {count} pages")
                bad += count != 1
            if title.startswith("sheet"):
                most = 2 if "plain loaf" in title else 3
                costs = 'class="costs"' in html  # on a page of its own
                # German takes more room than English, and its readers print on A4
                for paper in ("A4", "Letter") if '<html lang="en">' in html else ("A4",):
                    count = pages_printed(html.replace("<style>", f"<style>@page {{ size: {paper}; }}"), folder)
                    print(f"  prints on {count} pages of {paper}{', the costs one of them' if costs else ''}, the last of sources")
                    bad += not 2 <= count <= most + 1 + costs
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
