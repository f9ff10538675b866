"""Take from an environment what the service never runs: python docker/trim.py ENVIRONMENT

Command-line tools, tests, headers and sources of dependencies, parts of scipy and numpy that nothing here imports, and
formats of other languages than the service's own. `docker/check.py` then puts every example of the contract to it.
"""

from __future__ import annotations

import re
import shutil
import sys
from pathlib import Path

UNUSED = ("scipy/cluster", "scipy/datasets", "scipy/differentiate", "scipy/io", "scipy/misc", "scipy/ndimage",
          "scipy/odr", "scipy/signal", "scipy/stats", "numpy/_core/include", "numpy/_pyinstaller")
FOR_BUILDERS = {".a", ".c", ".cc", ".cpp", ".f", ".f90", ".h", ".hpp", ".map", ".pxd", ".pyi", ".pyx"}
LOCALES = re.compile(r"LOCALES = \(([^)]*)\)")


def main(environment: Path) -> None:
    """Trim an environment (`environment`: its folder)."""
    for tool in (environment / "bin").iterdir():
        if not tool.name.startswith("python"):
            _remove(tool)
    for extra in ("include", "share"):
        _remove(environment / extra)
    site = next(environment.glob("lib/python3*/site-packages"))
    for name in UNUSED:
        _remove(site / name)
    for found in sorted(site.rglob("*")):
        if (found.is_dir() and found.name == "tests") or (found.is_file() and found.suffix in FOR_BUILDERS):
            _remove(found)
    spoken = LOCALES.search((site / "kettlewright" / "languages.py").read_text(encoding="utf-8"))
    assert spoken is not None, "languages.py names no LOCALES"
    languages = {"root", *re.findall(r"[a-z]+", spoken[1])}
    for data in (site / "babel" / "locale-data").glob("*.dat"):
        if data.stem.split("_")[0] not in languages:
            _remove(data)


def _remove(found: Path) -> None:
    if found.is_dir() and not found.is_symlink():
        shutil.rmtree(found)
    else:
        found.unlink(missing_ok=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
