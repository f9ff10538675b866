"""Write the generated code beside the client: `python -m generate`, from the folder of the contract."""

from __future__ import annotations

from pathlib import Path

from generate.files import GENERATED, generated_files

if __name__ == "__main__":
    root = Path(__file__).parents[2]
    folder = root / GENERATED
    wanted = generated_files(root / "openapi.yaml")
    for old in folder.rglob("*.py"):
        if str(old.relative_to(folder)) not in wanted:
            old.unlink()
    for name, text in wanted.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")
