"""A report as text and as a page."""

from __future__ import annotations

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from kettlewright.report.outline import Outline, Table, widths_of
from kettlewright.views.styles import style_of

__all__ = ["as_html", "as_text"]

_BAR_WIDTH = 40
_environment = Environment(loader=PackageLoader("kettlewright.report"), autoescape=True, undefined=StrictUndefined,
                           trim_blocks=True, lstrip_blocks=True)


def as_text(outline: Outline) -> str:
    """For a terminal or a mail, in lines.

    Parameters
    ----------
    outline : Outline
        What to say. [outline]

    Returns
    -------
    str : with a line feed at its end
    """
    lines = [_plain(outline.title), "=" * len(outline.title), outline.period, ""]
    width = max(len(name) for name, _ in outline.figures)
    lines += [f"{name:<{width}}  {value}" for name, value in outline.figures]
    if outline.bars:
        most = max(bar.requests for bar in outline.bars) or 1
        lines += ["", outline.bars_title, "-" * len(outline.bars_title)]
        lines += [f"{bar.label}  {'#' * -(-bar.requests * _BAR_WIDTH // most):<{_BAR_WIDTH}}  {bar.requests:,}"
                  for bar in outline.bars]
    for table in outline.tables:
        lines += ["", table.title, "-" * len(table.title), *([table.note] if table.note else []), *_rows(table)]
    lines += ["", *outline.notes]
    return "\n".join(lines) + "\n"


def _plain(text: str) -> str:
    """Without characters that a terminal would obey (`text`)."""
    return "".join(one if one.isprintable() else "?" for one in text)


def _rows(table: Table) -> list[str]:
    widths, last = widths_of(table), len(table.header) - 1
    return ["  ".join(f"{_plain(cell):<{widths[at]}}" if at == 0 or (at == last and table.text_last)
                      else f"{_plain(cell):>{widths[at]}}" for at, cell in enumerate(row)).rstrip()
            for row in (table.header, *table.rows)]


def as_html(outline: Outline) -> str:
    """For a browser or paper.

    Parameters
    ----------
    outline : Outline
        What to say. [outline]

    Returns
    -------
    str : HTML without scripts or external resources
    """
    style = style_of("page.css") + _environment.get_template("usage.css").render()
    return _environment.get_template("usage.html.j2").render(
        outline=outline, style=Markup(style), most=max((bar.requests for bar in outline.bars), default=0) or 1) + "\n"
