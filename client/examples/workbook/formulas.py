"""The formulas of the workbook: they turn cells into an address, and a reply into figures and words.

Functions of Excel 2013 and later are written with `_xlfn.` before them, as the file format asks for (ECMA-376 names
future functions so); programs show them without it. Commas part arguments in the file whatever the locale. A text
inside a formula ends at 255 characters in some programs, so longer ones are put together.
"""

from __future__ import annotations

__all__ = ["after", "day", "digits", "escaped", "fetched", "field_of", "figure", "found", "number", "part", "quoted",
           "say", "weighed", "word"]


def quoted(text: str) -> str:
    """A text inside a formula, in pieces if it is long."""
    doubled = [text[at:at + 200].replace('"', '""') for at in range(0, len(text), 200)]
    return "&".join(f'"{piece}"' for piece in doubled)


def say(english: str, german: str) -> str:
    """A label in the language of the settings."""
    return f"IF(german,{quoted(german)},{quoted(english)})"


def digits(cell: str) -> str:
    """A number with a decimal point in every locale."""
    return f'SUBSTITUTE({cell}&"",decimal_sign,".")'


def number(cell: str) -> str:
    """A cell's number as it is sent; text is sent as typed, and the service checks it.

    Only a number's sign is changed: in a text, 1,500 may be meant as 1.5 or as 1500, and nobody shall guess.
    """
    return f"IF(ISNUMBER({cell}),{digits(cell)},{part(cell)})"


def day(cell: str) -> str:
    """A date as year-month-day; the letters of TEXT differ by locale, so it is put together."""
    return (f'IF(ISNUMBER({cell}),YEAR({cell})&"-"&RIGHT("0"&MONTH({cell}),2)&"-"&RIGHT("0"&DAY({cell}),2),'
            f"{part(cell)})")


def escaped(cell: str) -> str:
    r"""A text inside a part of an address: \\ \, \: for what has a meaning there."""
    return f'SUBSTITUTE(SUBSTITUTE(SUBSTITUTE({cell},"\\","\\\\"),",","\\,"),":","\\:")'


def part(cell: str) -> str:
    """A name or another text inside a part, percent-encoded; some programs make an error of an empty one."""
    return f'IF({cell}="","",_xlfn.ENCODEURL({escaped(cell)}))'


def word(cell: str) -> str:
    """A text that is a whole value, percent-encoded."""
    return f'IF({cell}="","",_xlfn.ENCODEURL({cell}))'


def fetched(address: str) -> str:
    """The reply to an address.

    A spreadsheet program keeps what an address answered while the workbook is open, and remembers for some seconds that
    one did not. `again` is empty, or a fragment, which is never sent (RFC 3986, 3.5) but makes another address of it.
    `with_key` is empty, or the read-only key, which the address on the sheet does not show.
    """
    return f"_xlfn.WEBSERVICE({address}&with_key&again)"


def found(path: str) -> str:
    """The text of one line of the table of figures, whose columns are path, value, unit; an error where it is not."""
    mark = f'CHAR(10)&"{path},"'
    start = f"FIND({mark},figures)+{len(path) + 2}"
    return f'MID(figures,{start},FIND(",",figures,{start})-({start}))'


def figure(path: str) -> str:
    """One number of the reply, or the words for a missing figure.

    The point is named as the decimal sign, so a locale with commas reads 143.6 as what it is.
    """
    return f'IF(answered,IFERROR(_xlfn.NUMBERVALUE({found(path)},".",","),no_figure),no_figure)'


def weighed(tag: str, column: str = "weigh") -> str:
    """A column of the row of the weigh list that has a tag (a piece of formula)."""
    return f"IF(answered,IFERROR(INDEX(list_{column},MATCH({tag},list_tags,0)),no_figure),no_figure)"


def field_of(rest: str) -> str:
    """The first field of a line of CSV (RFC 4180), in `rest`, a cell."""
    inside = _inside(rest)
    return (f'IF(LEFT({rest},1)="""",SUBSTITUTE(LEFT({inside},FIND(""",",{inside}&",")-1),CHAR(7),""""),'
            f'LEFT({rest},FIND(",",{rest}&",")-1))')


def after(rest: str) -> str:
    """What follows the first field of a line of CSV."""
    inside = _inside(rest)
    return (f'IF(LEFT({rest},1)="""",SUBSTITUTE(MID({inside},FIND(""",",{inside}&",")+2,4000),CHAR(7),""""""),'
            f'MID({rest},FIND(",",{rest}&",")+1,4000))')


def _inside(rest: str) -> str:
    """What follows the first quotation mark, with a bell in place of each doubled one."""
    return f'SUBSTITUTE(MID({rest},2,4000),"""""",CHAR(7))'
