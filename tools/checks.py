"""Every check of the project, one after the other; run by `./check`, which hands its words on to pytest.

Format, lint, types and import rules are told first, tests last, so that pytest's closing line ends the
output. The exit code is 0 only when all of them pass.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent
PYTHON = [sys.executable, "-m"]
STEPS = {
    "format": [*PYTHON, "ruff", "format", "--check", "--quiet", "."],
    "lint": [*PYTHON, "ruff", "check", "--quiet", "."],
    "types": [*PYTHON, "mypy"],
    "import rules": [
        sys.executable,
        "-c",
        "from importlinter.cli import lint_imports_command as c; c()",
        "--no-cache",
    ],
}


#: what the tests of a module or a package share is made once where they stay together, and nobody waits at the end
BESIDE = ["-n", "auto", "--dist", "worksteal"]


def step(name: str, command: list[str]) -> bool:
    """Run one check; its output is shown only where it fails."""
    began = time.monotonic()
    done = subprocess.run(
        command,
        cwd=CHECKOUT,
        encoding="utf-8",
        errors="replace",
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    passed = done.returncode == 0
    print(f"{name:<13} {'passed' if passed else 'FAILED'} in {time.monotonic() - began:.1f} s", flush=True)
    if not passed:
        print(done.stdout, flush=True)
    return passed


def see_to_a_browser() -> None:
    """Say which browser the tests of the pages have; without one they fail, and the reason stands here."""
    sys.path.insert(0, str(CHECKOUT))
    from tools.browser import bring_browser, find_browser

    if find_browser() is None:
        print("browser       none here: fetching Debian's Chromium into the environment", flush=True)
        if why := bring_browser():
            print(f"browser       MISSING: {why}", flush=True)
    if found := find_browser():
        print(f"browser       {found.path}", flush=True)


def tests(words: list[str]) -> int:
    """Run pytest side by side on all cores, unless the words choose otherwise; its exit code."""
    side_by_side = [] if any(word.startswith(("-n", "--pdb", "-p")) for word in words) else BESIDE
    return subprocess.call([*PYTHON, "pytest", *side_by_side, *words], cwd=CHECKOUT)


def main(words: list[str]) -> int:
    """Exit code: 0 only when every check and every test passed."""
    os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
    os.environ["PYTHONUTF8"] = "1"  # on Windows too the checkers' own words and the tests' files are UTF-8
    sys.stdout.reconfigure(errors="replace")
    failed = [name for name, command in STEPS.items() if not step(name, command)]
    see_to_a_browser()
    code = tests(words)
    return code or bool(failed)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
