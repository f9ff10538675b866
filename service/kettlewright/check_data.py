"""Check a data folder before the service reads it.

    python -m kettlewright.check_data /data

All errors are printed, each with its file and line. Exit status: 0 if there are none, 1 if there are any.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from kettlewright.api.coop.folder import BadData, read_folder

__all__ = ["main"]


def main(argv: Sequence[str] | None = None) -> int:
    """Check a folder and print what is in it, or its errors.

    Parameters
    ----------
    argv : sequence of str, optional
        The arguments; those of the process where not given. [words]

    Returns
    -------
    int : the exit status. [code]
    """
    parser = argparse.ArgumentParser(prog="python -m kettlewright.check_data", description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", help="the folder, as in KETTLEWRIGHT_DATA")
    options = parser.parse_args(argv)
    try:
        data = read_folder(options.folder)
    except BadData as error:
        print(error, file=sys.stderr)
        return 1
    counts = {"fats": len(data.fats), "certificates": len(data.certificates), "ingredients with packs": len(data.packs),
              "label names": len(data.names), "fragrances": len(data.fragrances)}
    print(f"No errors. Date {data.version.date}, digest {data.version.digest}. "
          f"{', '.join(f'{what}: {count}' for what, count in counts.items())}.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
