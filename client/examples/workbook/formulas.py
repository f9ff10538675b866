"""The formulas of the workbook: they turn cells into an address, and a value of the reply into a number.

Functions of Excel 2013 and later are written with `_xlfn.` before them, as the file format asks for (ECMA-376 names
future functions so); programs show them without it. Commas part arguments in the file whatever the locale.
"""

from __future__ import annotations

__all__ = ["count_of_lines", "escaped", "fetched", "figure", "line_with", "number", "part", "quoted", "text_of", "word"]


def number(cell: str) -> str:
    """A cell's number with a decimal point in every locale; text is sent as typed, and the service checks it.

    Only a number's sign is changed: in a text, 1,500 may be meant as 1.5 or as 1500, and nobody shall guess.
    """
    return f'IF(ISNUMBER({cell}),SUBSTITUTE({cell}&"",decimal_sign,"."),{part(cell)})'


def escaped(cell: str) -> str:
    r"""A text inside a part of an address: \\ \, \: for what has a meaning there."""
    return f'SUBSTITUTE(SUBSTITUTE(SUBSTITUTE({cell},"\\","\\\\"),",","\\,"),":","\\:")'


def part(cell: str) -> str:
    """A name or another text inside a part, percent-encoded."""
    return f'IF({cell}="","",_xlfn.ENCODEURL({escaped(cell)}))'


def word(cell: str) -> str:
    """A text that is a whole value, percent-encoded; some programs make an error of an empty one."""
    return f'IF({cell}="","",_xlfn.ENCODEURL({cell}))'


def fetched(address: str) -> str:
    """The reply to an address.

    A spreadsheet program keeps what an address answered while the workbook is open, and remembers for some seconds that
    one did not. `again` is empty, or a fragment, which is never sent (RFC 3986, 3.5) but makes another address of it.
    """
    return f"_xlfn.WEBSERVICE({address}&again)"


def text_of(field: str) -> str:
    """One text of the reply; `field` is a piece of formula, such as a quoted path."""
    return fetched(f'recipe_address&"&field="&{field}')


def figure(field: str) -> str:
    """One number of the reply, or the text for a missing figure; not requested until the recipe has a reply.

    The point is named as the decimal sign, so a locale with commas reads 143.6 as what it is.
    """
    return f'IF(ISNUMBER(answered),IFERROR(_xlfn.NUMBERVALUE({text_of(field)},".",","),no_figure),no_figure)'


def count_of_lines(cell: str) -> str:
    """Lines of a CSV text under its header."""
    return f'LEN({cell})-LEN(SUBSTITUTE({cell},CHAR(10),""))-1'


def quoted(text: str) -> str:
    """A text inside a formula."""
    return f'"{text}"'


def line_with(mark: str, cell: str) -> str:
    """Number of the first line under the header of a CSV text, from 0, that holds a mark; an error where none does."""
    before = f'LEFT({cell},FIND("{mark}",{cell}))'
    return f'LEN({before})-LEN(SUBSTITUTE({before},CHAR(10),""))-1'
