"""Every check of the project; run by `./check`, which hands its words on to pytest.

Format, lint, types and import rules are told first, tests last, so that pytest's closing line ends the
output. The exit code is 0 only when all of them pass.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
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


def step(name: str, command: list[str]) -> tuple[bool, str]:
    """Run one check: whether it passed, and what to say of it; its output only where it fails."""
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
    said = f"{name:<13} {'passed' if passed else 'FAILED'} in {time.monotonic() - began:.1f} s"
    return passed, said if passed else f"{said}\n{done.stdout}"


def see_to_a_browser() -> str:
    """Which browser the tests of the pages have; without one they fail, and this is the reason."""
    sys.path.insert(0, str(CHECKOUT))
    from tools.browser import bring_browser, find_browser

    why: str | None = ""
    found = find_browser()
    if found is None:
        why, found = bring_browser(), find_browser()
    return f"browser       {found.path}" if found else f"browser       MISSING: {why}"


def looks() -> bool:
    """The checks that read alone, side by side, and meanwhile a browser is seen to; whether all passed."""
    print("format, lint, types, import rules, and a browser for the tests …", flush=True)
    with ThreadPoolExecutor() as side_by_side:
        browser = side_by_side.submit(see_to_a_browser)
        ran = [side_by_side.submit(step, name, command) for name, command in STEPS.items()]
        for one in ran:
            print(one.result()[1], flush=True)
        print(browser.result(), flush=True)
    return all(one.result()[0] for one in ran)


def tests(words: list[str]) -> int:
    """Run pytest side by side on all cores, unless the words choose otherwise; its exit code."""
    chosen = any(word.startswith(("-n", "--pdb", "-p")) for word in words)
    return subprocess.call([*PYTHON, "pytest", *([] if chosen else side_by_side()), *words], cwd=CHECKOUT)


def side_by_side() -> list[str]:
    """One worker more than there are cores: a test in a browser waits about as long as it works.

    A worker that has none left takes those of another, in one piece, so that what the tests of a module
    share is made once.
    """
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return ["-n", str(cores + 1), "--dist", "worksteal"]


def main(words: list[str]) -> int:
    """Exit code: 0 only when every check and every test passed."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    # beside the environment, so that the checkout stays as it is and no program that a test starts compiles anew
    os.environ["PYTHONPYCACHEPREFIX"] = str(Path(sys.prefix) / "bytecode")
    os.environ["PYTHONUTF8"] = "1"  # on Windows too the checkers' own words and the tests' files are UTF-8
    sys.stdout.reconfigure(errors="replace")
    passed = looks()
    code = tests(words)
    return code or not passed


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
