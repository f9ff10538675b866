"""The tests of test_fuzz.py against a real gunicorn: make fuzz."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from api.gunicorn import running


def main() -> int:
    """Start gunicorn, run the tests against it, and look whether a worker was lost."""
    with tempfile.TemporaryDirectory() as folder, running(Path(folder)) as service:
        url = f"http://127.0.0.1:{service.port}"
        code = subprocess.run([sys.executable, "-m", "pytest", "api/test_fuzz.py", *sys.argv[1:]], check=False,
                              env={**os.environ, "FUZZ_URL": url}).returncode
        lost = [line for line in service.lines() if line["level"] in ("ERROR", "CRITICAL")]
        print("\n".join(str(line) for line in lost) or "No error in the log of the service.")
    return code or bool(lost)


if __name__ == "__main__":
    sys.exit(main())
