"""How the service was used, from its access log: requests, times, errors, CPU by member and month.

    python -m kettlewright.report access.log                       text
    zcat old.log.gz | python -m kettlewright.report - access.log   several, and standard input
    python -m kettlewright.report *.log* --member mill-lane --month 2026-11 --html november.html

Logs may be compressed by gzip, of several instances, and hold lines of other programs. Exit status: 0, or 1 where a
file could not be read to its end; 2 for a wrong argument.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Sequence
from pathlib import Path

from kettlewright.report.lines import Tally, entries
from kettlewright.report.outline import outline_of
from kettlewright.report.pages import as_html, as_text
from kettlewright.report.usage import usage_of

__all__ = ["main"]


def _month(text: str) -> str:
    if not re.fullmatch(r"\d{4}-(0[1-9]|1[0-2])", text):
        raise argparse.ArgumentTypeError(f"{text!r} is not a month; write it as 2026-11")
    return text


def main(argv: Sequence[str] | None = None) -> int:
    """Read logs and print a report.

    Parameters
    ----------
    argv : sequence of str, optional
        The arguments; those of the process where not given. [words]

    Returns
    -------
    int : the exit status. [code]
    """
    parser = argparse.ArgumentParser(prog="python -m kettlewright.report", description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("logs", nargs="+", metavar="LOG", help="files of the access log; - for standard input")
    parser.add_argument("--member", metavar="NAME", help="only requests with the key of this name")
    parser.add_argument("--month", type=_month, metavar="YYYY-MM", help="only requests of this month (UTC)")
    parser.add_argument("--html", type=Path, metavar="FILE",
                        help="write a page to this file; without it, text is printed")
    options = parser.parse_args(argv)
    tally = Tally()
    usage = usage_of(entries(options.logs, tally), member=options.member, month=options.month)
    outline = outline_of(usage, tally)
    if options.html is None:
        sys.stdout.write(as_text(outline))
    else:
        options.html.write_text(as_html(outline), encoding="utf-8")
    for one in tally.unreadable:
        print(f"Not read to its end: {one}", file=sys.stderr)
    return 1 if tally.unreadable else 0


if __name__ == "__main__":
    sys.exit(main())
