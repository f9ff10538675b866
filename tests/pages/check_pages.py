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

from flask.testing import FlaskClient
from kettlewright.api.document.openapi import examples_of
from kettlewright.app import create_app
from kettlewright.languages import LOCALES

ROOT = Path(__file__).resolve().parents[2]
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


def pages_printed(html: str, folder: Path) -> int:
    """How many pages a sheet takes."""
    (folder / "sheet.html").write_text(html, encoding="utf-8")
    browser("--no-pdf-header-footer", f"--print-to-pdf={folder / 'sheet.pdf'}", (folder / "sheet.html").as_uri())
    return len(re.findall(rb"/Type\s*/Page\b", (folder / "sheet.pdf").read_bytes()))


def pages_to_check(client: FlaskClient) -> dict[str, str]:
    """Sheets in every language and pictures, each as a page, by title (`client`)."""
    pages = {}
    sheets = {f"sheet of {demo}": json.loads((ROOT / "client" / "examples" / f"{demo}.json").read_text("utf-8"))
              for demo in ("kiln_dusk", "ember_round")}
    sheets |= {f"sheet: {example['title']}": example["body"] for example in examples_of("batches")[1:]}
    for title, body in sheets.items():
        for locale in LOCALES:
            reply = client.post("/v1/batches?format=html", json={**body, "locale": locale})
            assert reply.status_code == 200, reply.text
            pages[f"{title}, {locale}"] = reply.text
    for title, path, body in PICTURES:
        reply = client.post(f"{path}?format=svg", json=body)
        assert reply.status_code == 200, reply.text
        pages[title] = (f'<!doctype html><html lang="en"><head><title>{title}</title></head><body><main>'
                        f"<h1>{title}</h1>{reply.text}</main></body></html>")
    return pages


def main() -> None:
    """Check everything; the exit code tells."""
    if shutil.which(CHROMIUM) is None:
        raise SystemExit(f"{CHROMIUM} is not here; install Chromium or set CHROMIUM")
    client, bad = create_app().test_client(), 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for title, html in pages_to_check(client).items():
            found = findings(html, folder)
            bad += len(found)
            print(f"{title}: {'nothing found' if not found else ''}", *found, sep="\n  " if found else "")
            if title.startswith("sheet"):
                costs = 'class="costs"' in html  # on a page of its own
                # German takes more room than English, and its readers print on A4
                for paper in ("A4", "Letter") if '<html lang="en">' in html else ("A4",):
                    count = pages_printed(html.replace("<style>", f"<style>@page {{ size: {paper}; }}"), folder)
                    print(f"  prints on {count} pages of {paper}{', the costs one of them' if costs else ''}")
                    bad += not 1 <= count <= 3 + costs
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
