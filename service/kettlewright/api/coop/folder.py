"""Read the data folder: every error of every file, with file and line."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path

from kettlewright.api.coop.files import (
    LAYOUTS,
    certificates_of,
    compositions_of,
    date_of,
    fats_of,
    names_of,
    packs_of,
)
from kettlewright.api.coop.table import BYTES_MAX, Errors, Row, read_rows
from kettlewright.api.parts.coop import CoopData, CoopVersion
from kettlewright.names import or_nearest

__all__ = ["BadData", "read_folder"]

_VERSION = "version.csv"
_DIGITS = 12  # of the digest: enough to tell two versions of a folder apart


class BadData(ValueError):
    """The data folder cannot be used; `errors` has one line for each error."""

    def __init__(self, folder: Path, errors: list[str]) -> None:
        self.errors = errors
        count = f"{len(errors)} error{'s' if len(errors) > 1 else ''}"
        super().__init__("\n  ".join([f"The data folder {folder} has {count}:", *errors]))


def read_folder(folder: str | Path) -> CoopData:
    """Read and check the data folder.

    Parameters
    ----------
    folder : str or Path
        The folder. Names that begin with a dot are left alone; any other file that is not known is an error. [path]

    Returns
    -------
    CoopData

    Raises
    ------
    BadData : all errors of all files.
    """
    folder = Path(folder)
    try:
        contents, faults = _contents(folder)
    except OSError as error:
        raise BadData(folder, [f"cannot be read: {error.strerror or error}"]) from None
    errors = {name: Errors(name) for name in LAYOUTS}
    rows: dict[str, list[Row]] = {name: read_rows(layout, contents[name], errors[name]) if name in contents else []
                                  for name, layout in LAYOUTS.items()}
    if _VERSION in contents:
        date = date_of(rows[_VERSION], errors[_VERSION])
    else:
        date = ""
        faults.append(f"{_VERSION} is missing; it has a first line, date, and in the second the date of the data, such "
                      "as 2027-03-20")
    fats = fats_of(rows["fats.csv"], errors["fats.csv"])
    unread = errors["fats.csv"].found and not rows["fats.csv"]
    certificates = certificates_of(rows["certificates.csv"], errors["certificates.csv"],
                                   None if unread else [row.text("key") for row in rows["fats.csv"]])
    packs = packs_of(rows["packs.csv"], errors["packs.csv"])
    names = names_of(rows["names.csv"], errors["names.csv"])
    fragrances = compositions_of(rows["fragrances.csv"], errors["fragrances.csv"])
    faults += [text for name in LAYOUTS for text in errors[name].texts]
    if faults:
        raise BadData(folder, faults)
    return CoopData(CoopVersion(_digest(contents), date), fats, certificates, packs, names, fragrances)


def _contents(folder: Path) -> tuple[dict[str, bytes], list[str]]:
    """The known files, and an error for each other one. Raises OSError if the folder cannot be listed."""
    before = _listing(folder)
    contents: dict[str, bytes] = {}
    faults: list[str] = []
    for name in sorted(before):
        if name not in LAYOUTS:
            faults.append(f"{name} is not a file of this folder.{or_nearest(name, LAYOUTS)} Its files are "
                          f"{', '.join(LAYOUTS)}")
            continue
        try:
            with (folder / name).open("rb") as file:
                contents[name] = file.read(BYTES_MAX + 1)
        except OSError as error:
            faults.append(f"{name} cannot be read: {error.strerror or error}")
    if _listing(folder) != before:
        faults.append("The folder changed while it was read; put the files there again and repeat")
    return contents, faults


def _listing(folder: Path) -> dict[str, tuple[int, int, int]]:
    """Inode, size and time of change of each file."""
    found = {}
    for path in folder.iterdir():
        if not path.name.startswith("."):
            try:
                state = path.stat()
            except OSError:  # a link to nothing; opening it says so
                found[path.name] = (0, 0, 0)
            else:
                found[path.name] = (state.st_ino, state.st_size, state.st_mtime_ns)
    return found


def _digest(contents: Mapping[str, bytes]) -> str:
    found = hashlib.sha256()
    for name in sorted(contents):
        found.update(f"{name}\0{len(contents[name])}\0".encode())
        found.update(contents[name])
    return found.hexdigest()[:_DIGITS]
