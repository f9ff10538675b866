"""What make test-pages looks at exists, so that a moved file is found without a browser."""

from __future__ import annotations

from typing import Any

import pytest
from kettlewright.app import create_app
from pages.check_pages import PICTURES, batches_to_print, papers_of, pictures_to_check, sheets_of_paper_at_most

CLIENT = create_app().test_client()


@pytest.mark.parametrize("body", batches_to_print().values(), ids=list(batches_to_print()))
def test_sheet_card_and_record_of_every_batch_can_be_made(body: dict[str, Any]) -> None:
    pages = papers_of(CLIENT, body)
    assert list(pages) == ["sheet", "card", "record"]
    assert "<svg" in pages["sheet"]
    for kind, html in pages.items():
        assert 1 <= sheets_of_paper_at_most(kind, body, html) <= 5


def test_every_picture_to_check_can_be_made() -> None:
    pages = pictures_to_check(CLIENT)
    assert len(pages) == len(PICTURES)
    assert all("<svg" in html for html in pages.values())
