"""The papers: their links lead somewhere, and DEVELOPERS.md stays short enough to be read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
FENCE = re.compile(r"^```.*?^```", re.DOTALL | re.MULTILINE)
HIDDEN = {".venv", ".git", ".pytest_cache", "node_modules", "build"}


def papers() -> list[Path]:
    return sorted(file for file in ROOT.rglob("*.md") if not HIDDEN & set(file.relative_to(ROOT).parts))


def anchors(file: Path) -> set[str]:
    """Fragments of the headings of a page, formed as the common Markdown hosts form them."""
    headings = re.findall(r"^#+ (.*)$", FENCE.sub("", file.read_text(encoding="utf-8")), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


@pytest.mark.parametrize("paper", papers(), ids=lambda file: str(file.relative_to(ROOT)))
def test_every_relative_link_leads_to_a_file(paper: Path) -> None:
    for target in LINK.findall(FENCE.sub("", paper.read_text(encoding="utf-8"))):
        if re.match(r"[a-z]+:", target):
            continue
        path, _, fragment = target.partition("#")
        file = (paper.parent / path).resolve() if path else paper
        assert file.exists(), target
        if fragment:
            assert fragment in anchors(file), target


def test_every_page_of_decisions_is_linked_from_the_developers_page() -> None:
    linked = {(ROOT / target.partition("#")[0]).resolve()
              for target in LINK.findall((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))}
    pages = {file for file in papers() if file.name in {"DECISIONS.md", "GLOSSARY.md", "SOURCES.md"}}
    assert len(pages) > 8
    assert pages <= linked, {str(page.relative_to(ROOT)) for page in pages - linked}


def test_the_developers_page_is_short() -> None:
    assert (ROOT / "DEVELOPERS.md").stat().st_size <= 12_000


def test_files_that_papers_name_exist() -> None:
    """Paths in backticks: from the root, from the package, or from the page's own folder."""
    bases = [ROOT, ROOT / "service" / "kettlewright", ROOT / "client", ROOT / "client" / "kettlewright_client"]
    for paper in papers():
        text = FENCE.sub("", paper.read_text(encoding="utf-8"))
        for name in re.findall(r"`([\w./-]+/[\w.-]+\.(?:py|csv|md|json|yaml|js|html|po|conf))`", text):
            if name.startswith("build/"):  # made by a target
                continue
            assert any((base / name).exists() for base in [*bases, paper.parent]), f"{paper.name}: {name}"
