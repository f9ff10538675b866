"""Data folders for tests: the example of docker/, changed in places."""

from __future__ import annotations

from pathlib import Path

__all__ = ["EXAMPLE", "write_folder"]

EXAMPLE = Path(__file__).parents[3] / "docker" / "data.example"


def write_folder(folder: Path, **files: str | bytes | None) -> Path:
    """Write the files of the example into `folder`, others in their place (None: leave it out); names without .csv."""
    folder.mkdir(exist_ok=True)
    contents: dict[str, str | bytes | None] = {path.stem: path.read_bytes() for path in EXAMPLE.glob("*.csv")}
    for name, content in {**contents, **files}.items():
        if content is not None:
            (folder / f"{name}.csv").write_bytes(content.encode() if isinstance(content, str) else content)
    return folder
