"""The report as text and page: the same figures, nothing secret, nothing that a browser or a terminal would obey."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from kettlewright.report import Outline, Tally, as_html, as_text, entries, outline_of, usage_of
from report.log_lines import line

MARK = "olive-700-coconut-300"
LINES = (
    line() * 40 + line(status=422, path=f"/v1/lye/{MARK}", request_id=MARK, traceparent=MARK, method=MARK)
    + line(key_name="north-quay", operation="batches", milliseconds=12_345.0, cpu_milliseconds=9_876.0, status=503)
    + line(time="2026-10-07T00:00:00+00:00", operation=f"POST {MARK}", reply_bytes=5_000_000)
    + line(message=MARK, query=f"fat={MARK}", authorization=f"Bearer {MARK}", key=MARK)
    + f'{{"level": "ERROR", "logger": "kettlewright", "message": "{MARK}", "exc_info": "{MARK}"}}\n'.encode()
    + f"{MARK}\n{{{MARK}\n".encode() + line(status=MARK))


def outline(folder: Path, content: bytes = LINES, member: str | None = None, month: str | None = None) -> Outline:
    (folder / "log").write_bytes(content)
    tally = Tally()
    return outline_of(usage_of(entries([str(folder / "log")], tally), member=member, month=month), tally)


class Page(HTMLParser):
    """Texts, tags and attributes of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.open: list[str] = []
        self.texts: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}
        if tag not in ("meta", "line", "rect"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in ("line", "rect"):
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if data.strip() and (not self.open or self.open[-1] != "style"):
            self.texts.append(data.strip())


def test_what_a_request_held_is_in_neither_form(tmp_path: Path) -> None:
    found = outline(tmp_path)
    for text in (as_text(found), as_html(found)):
        assert MARK not in text
        assert "mill-lane" in text


def test_text_and_page_say_the_same(tmp_path: Path) -> None:
    found = outline(tmp_path)
    text, page = as_text(found), Page(as_html(found))
    assert not page.open
    cells = [cell for table in found.tables for row in table.rows for cell in row if cell]
    assert len(cells) > 40
    for one in (*cells, *(value for _, value in found.figures), *found.notes, found.title, found.period):
        assert one in text
        assert one in page.texts
    assert {"Members and months", "Operations", "Slowest operations", "Error replies"} == {
        table.title for table in found.tables}


def test_the_figures_are_those_of_the_log(tmp_path: Path) -> None:
    found = outline(tmp_path)
    rows = {row[0:2]: row for table in found.tables if table.title == "Members and months" for row in table.rows}
    # 40 + 1 + 1 requests of 2.5 ms in November, one in October, one of another member
    assert rows["mill-lane", "2026-11"][2:6] == ("42", "1", "0", "0.1 s")
    assert rows["mill-lane", "2026-10"][2:] == ("1", "0", "0", "0.0 s", "0.0 %", "200 B", "5.0 MB")
    assert rows["north-quay", "2026-11"][2:7] == ("1", "0", "1", "9.9 s", "98.9 %")
    assert found.tables[2].rows[0] == ("batches", "12.3 s", "12.3 s", "1")
    assert [row[:3] for row in found.tables[3].rows] == [("422", "1", "2.3 %"), ("503", "1", "2.3 %")]
    assert found.period == "7 October 2026 to 5 November 2026 (UTC)"
    assert "Requests of all members: 44; other messages of the service: 1, errors among them: 1" in found.notes[0]
    assert "lines of other programs: 2; lines that could not be read: 1." in found.notes[0]


def test_the_page_runs_nothing_and_fetches_nothing(tmp_path: Path) -> None:
    text = as_html(outline(tmp_path, line(key_name='<script>alert("x")</script>') + line(key_name="\x1b[2J")))
    page = Page(text)
    assert not page.tags & {"script", "link", "img", "iframe", "a", "form"}
    assert not {name for name in page.attributes if name == "style" or name.startswith("on")}
    assert not re.search(r"url\(|@import|https?:", text)
    assert "&lt;script&gt;" in text
    assert "@media print" in text


def test_no_character_of_a_name_is_obeyed_by_a_terminal(tmp_path: Path) -> None:
    text = as_text(outline(tmp_path, line(key_name="\x1b[2Jx\u202e\r\n"), member="\x1b[2Jx\u202e\r\n"))
    assert re.fullmatch(r"[\x20-\x7e\n]*", text)


def test_a_member_gets_a_month_of_its_own_with_every_day(tmp_path: Path) -> None:
    found = outline(tmp_path, member="mill-lane", month="2026-11")
    assert found.title == "mill-lane: November 2026"
    assert [bar.short for bar in found.bars] == [str(day) for day in range(1, 31)]
    assert [bar.requests for bar in found.bars if bar.requests] == [42]
    assert "north-quay" not in as_text(found) + as_html(found)
    assert "batches" not in as_text(found)


@pytest.mark.parametrize("content", [b"", b"\n\n", b"nothing of ours\n"])
def test_a_log_without_requests_gives_a_page_that_says_so(content: bytes, tmp_path: Path) -> None:
    found = outline(tmp_path, content)
    assert found.tables == ()
    for text in (as_text(found), as_html(found)):
        assert "No requests." in text
        assert "0.0 %" not in text


def test_more_days_than_fit_become_months(tmp_path: Path) -> None:
    lines = b"".join(line(time=f"2026-{month:02d}-{day:02d}T01:00:00Z") for month in (1, 2, 3, 4) for day in (1, 15))
    found = outline(tmp_path, lines)
    assert [(bar.label, bar.requests) for bar in found.bars] == [(f"2026-0{month}", 2) for month in (1, 2, 3, 4)]
    assert found.bars_title == "Requests per month"
