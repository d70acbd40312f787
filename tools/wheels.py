"""Install what a lock file names, and say in one sentence why where it fails. Standard library only."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path

__all__ = ["install", "pip_environment", "reason"]

#: what stands in the way, and what to do
Failure = tuple[str, str]
#: settings of a person's pip that would take the installation somewhere else or loosen it
UNWANTED = frozenset(
    [
        "PYTHONHOME",
        "PYTHONPATH",
        "PIP_USER",
        "PIP_TARGET",
        "PIP_PREFIX",
        "PIP_ROOT",
        "PIP_REQUIRE_VIRTUALENV",
        "PIP_CONSTRAINT",
        "PIP_NO_BINARY",
        "PIP_ONLY_BINARY",
        "PIP_REQUIREMENT",
        "PIP_PYTHON",
        "PIP_DRY_RUN",
        "PIP_QUIET",
        "PIP_VERBOSE",
        "PIP_LOG",
        "PIP_REPORT",
    ]
)
OPTIONS = [
    "--no-deps",
    "--only-binary",
    ":all:",
    "--require-hashes",
    "--retries",
    "2",
    "--progress-bar",
    "off",
]
TOLD_EVERY = 6  # packages
_UNREACHED = re.compile(
    r"retrying \(|newconnectionerror|name resolution|timed out|proxyerror|sslerror|max retries"
)
#: a package fetched from a source, or taken from a folder of wheels
_FOUND = re.compile(r"^(?:Collecting |Processing (?:.*?[/\\])?)([A-Za-z][\w.-]*?)(?:==|-\d[^/\\]*\.whl)")
_MISSING = re.compile(r"no matching distribution found for ([A-Za-z0-9._-]+(?:==[\w.]+)?)", re.IGNORECASE)


def install(
    pip: list[str],
    lock: str,
    environ: Mapping[str, str],
    log_path: str,
    say: Callable[[str], None],
    wheels: str | None = None,
) -> Failure | None:
    """Install exactly what the lock names, wheels only, hashes checked; None, or why it failed."""
    command = [*pip, "install", *OPTIONS, "-r", lock]
    if wheels:
        if not Path(wheels).is_dir():
            return f"FLATSTOCK_WHEELS={wheels} is no folder.", "Name a folder that holds the wheels."
        command += ["--no-index", "--find-links", wheels]
    total = len(re.findall(r"^[A-Za-z0-9]", Path(lock).read_text(encoding="utf-8"), re.MULTILINE))
    lines: list[str] = []
    names: set[str] = set()
    with (
        Path(log_path).open("w", encoding="utf-8") as log,
        subprocess.Popen(
            command,
            env=pip_environment(environ),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            errors="replace",
        ) as work,
    ):
        for line in work.stdout or ():
            log.write(line)
            lines.append(line.rstrip())
            fetched = _FOUND.match(line)
            if fetched and fetched[1] not in names:
                names.add(fetched[1])
                if len(names) % TOLD_EVERY == 0:
                    say(f"  {len(names)} of about {total} packages, now {fetched[1]}")
            elif line.startswith("Installing collected"):
                say("  unpacking")
    return reason("\n".join(lines), log_path, Path(lock).name, wheels) if work.returncode else None


def pip_environment(environ: Mapping[str, str]) -> dict[str, str]:
    """A person's environment without what would bend the installation; index, proxy and certificates stay."""
    kept = {name: value for name, value in environ.items() if name not in UNWANTED}
    return kept | {"PIP_DISABLE_PIP_VERSION_CHECK": "1", "PIP_NO_INPUT": "1"}


def reason(output: str, log_path: str, lock: str, wheels: str | None = None) -> Failure:
    """Why pip failed, from what it printed."""
    text = output.lower()
    missing = _MISSING.search(output)
    more = f"The whole output stands in {log_path}."
    if "do not match the hashes" in text or "expected sha256" in text:
        return (
            "A fetched package is not the one in the lock file (its hash differs); it was not installed.",
            f"Try once more without a cache (PIP_NO_CACHE_DIR=1), then with another package source. {more}",
        )
    if "no space left" in text:
        return "The disk filled up while installing.", "Make room, or set FLATSTOCK_ENV to another disk."
    if wheels and missing:
        return (
            f"{wheels} holds no fitting wheel of {missing[1]}.",
            "Fill it on a machine of the same kind:"
            f" pip download --no-deps --only-binary :all: -r {lock} -d {wheels}",
        )
    if _UNREACHED.search(text):
        return (
            "The package source can't be reached.",
            f"Check the network or the proxy, or set FLATSTOCK_WHEELS to a folder of wheels. {more}",
        )
    if missing:
        return (
            f"There is no wheel of {missing[1]} for this platform.",
            "Use Linux (x86-64 or arm64, glibc), macOS on Apple silicon, or Windows x64.",
        )
    errors = [line for line in output.splitlines() if line.startswith("ERROR")]
    last = (errors or output.splitlines()[-1:] or ["no message"])[0]
    return f"pip could not install: {last.rstrip('.')}.", more
