"""What other people's tools make of openapi.yaml: two linters and three generators of clients. make test-clients.

Needs Node.js and npm, and the extra "clients"; not part of make test. Everything is written to build/clients.
"""

from __future__ import annotations

import compileall
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
CONTRACT = ROOT / "openapi.yaml"
BUILD = ROOT / "build" / "clients"
sys.path.insert(0, str(HERE.parent))

from api.gunicorn import running  # noqa: E402  # found by the line above

_NUMBERED = re.compile(r"(?:class|export type|type) (\w+?\d+)\b.*(?:Enum|Literal)")


def run(*command: str | Path, folder: Path = BUILD) -> str:
    """Run a command in `folder`; what it prints. It must succeed."""
    done = subprocess.run([*map(str, command)], cwd=folder, capture_output=True, text=True, timeout=300, check=False,
                          env={**os.environ, "REDOCLY_TELEMETRY": "off",
                               "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"})
    if done.returncode:
        raise SystemExit(f"{' '.join(map(str, command))}\n{done.stdout}{done.stderr}")
    return done.stdout + done.stderr


def lint(tools: Path) -> None:
    """Redocly and Spectral find neither errors nor warnings (`tools`: folder of the programs)."""
    found = run(tools / "redocly", "lint", CONTRACT, "--config", HERE / "redocly.yaml", "--format", "summary")
    assert "warning" not in found.lower().replace("deprecation warning", ""), found
    run(tools / "spectral", "lint", CONTRACT, "--ruleset", HERE / ".spectral.yaml", "--fail-severity", "hint")
    print("Redocly, Spectral: no error and no warning")


def typescript(tools: Path) -> None:
    """Types by openapi-typescript compile under --strict, and a client on openapi-fetch calls the service (`tools`)."""
    for name in ("call_service.ts", "tsconfig.json", "package.json"):
        shutil.copy(HERE / name, BUILD)
    run(tools / "openapi-typescript", CONTRACT, "--output", BUILD / "contract.d.ts")
    run(tools / "tsc", "--project", BUILD)
    types = (BUILD / "contract.d.ts").read_text(encoding="utf-8")
    print(f"openapi-typescript: {len(types.splitlines()):,} lines, compiled by tsc --strict")
    with tempfile.TemporaryDirectory() as folder, running(Path(folder)) as service:
        print(run("node", BUILD / "build" / "call_service.js", f"http://127.0.0.1:{service.port}"), end="")


def python() -> None:
    """Clients by openapi-python-client and datamodel-code-generator compile and pass mypy --strict."""
    (BUILD / "generator.yaml").write_text(  # it knows no lines of JSON; a body of them is sent as it is
        "package_name_override: contract_client\n"
        "content_type_overrides: {application/x-ndjson: application/octet-stream}\n", encoding="utf-8")
    log = run("openapi-python-client", "generate", "--path", CONTRACT, "--config", "generator.yaml", "--meta", "none",
              "--fail-on-warning", "--output-path", "contract_client", "--overwrite")
    assert "warning" not in log.lower(), log
    run("datamodel-codegen", "--input", CONTRACT, "--input-file-type", "openapi", "--output", "contract_models.py",
        "--output-model-type", "pydantic_v2.BaseModel", "--target-python-version", "3.11", "--use-annotated",
        "--formatters", "builtin", "--capitalise-enum-members", "--no-use-standard-collections")  # fields named list
    for made in (BUILD / "contract_client", BUILD / "contract_models.py"):
        compiled = compileall.compile_dir(made, quiet=1) if made.is_dir() else compileall.compile_file(made, quiet=1)
        assert compiled, made
    run(sys.executable, "-m", "mypy", "--strict", "--config-file", os.devnull, "-p", "contract_client")
    run(sys.executable, "-m", "mypy", "--strict", "--config-file", os.devnull, "contract_models.py")
    models = [*(BUILD / "contract_client" / "models").glob("*.py"), BUILD / "contract_models.py"]
    numbered = [match[1] for path in models
                for match in _NUMBERED.finditer(path.read_text(encoding="utf-8"))]
    assert not numbered, f"enums without a name of their own: {numbered}"
    print("openapi-python-client, datamodel-code-generator: compiled, mypy --strict; every enum has its own name")


def main() -> int:
    """Run everything."""
    BUILD.mkdir(parents=True, exist_ok=True)
    for name in ("package.json", "package-lock.json", ".npmrc"):
        shutil.copy(HERE / name, BUILD)
    run("npm", "ci", "--silent")
    tools = BUILD / "node_modules" / ".bin"
    lint(tools)
    typescript(tools)
    python()
    return 0


if __name__ == "__main__":
    sys.exit(main())
