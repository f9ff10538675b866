"""A changed figure needs a new data version."""

from __future__ import annotations

import hashlib

from kettlewright.reference import DATA_VERSION
from reference.tables import FOLDER


def test_a_changed_figure_changes_the_data_version() -> None:
    digest = hashlib.sha256()
    for name in sorted(item.name for item in FOLDER.iterdir() if item.name.endswith(".csv")):
        digest.update(name.encode() + FOLDER.joinpath(name).read_bytes())
    assert (DATA_VERSION, digest.hexdigest()[:16]) == ("2026.5", "1e234fc88718c76e"), \
        "a table changed: raise DATA_VERSION, list before and after in the changelog, then pin both here"
