"""What make test-pages looks at exists, so that a moved file is found without a browser."""

from __future__ import annotations

from kettlewright.app import create_app
from kettlewright.languages import LOCALES
from pages.check_pages import PICTURES, pages_to_check


def test_every_sheet_and_picture_to_check_can_be_made() -> None:
    pages = pages_to_check(create_app().test_client())
    sheets = [title for title in pages if title.startswith("sheet")]
    assert len(sheets) >= 4 * len(LOCALES)
    assert len(pages) == len(sheets) + len(PICTURES)
    assert all("<svg" in html for title, html in pages.items() if title not in sheets)
