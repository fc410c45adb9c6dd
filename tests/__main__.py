"""Runs the four checks one after the other, as the README's test command and .ci/run do."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

CHECKS: tuple[tuple[str, ...], ...] = (
    (sys.executable, "-m", "ruff", "format", "--check", "."),
    (sys.executable, "-m", "ruff", "check", "."),
    (sys.executable, "-m", "mypy"),
    (sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"),
    (sys.executable, "-m", "pytest", "-n", str(min(4, os.cpu_count() or 1)), "-q"),
)


def main() -> int:
    """Exit code 0 when every check passed; the first failure ends the run."""
    for check in CHECKS:
        print(f"+ {' '.join(part for part in check[1:])}", flush=True)
        code = subprocess.run(check, cwd=ROOT, check=False).returncode
        if code != 0:
            return code
    return 0


if __name__ == "__main__":
    sys.exit(main())
