"""The browser that the tests of the pages click in: Chromium as the system has it, or one of the environment's own.

Where the system has none, Debian's package and what it needs are fetched by apt and unpacked into the environment,
root or not; nothing is installed, and the system's own lists and packages stay as they are.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from xml.sax.saxutils import escape

__all__ = ["OWN", "Browser", "bring_browser", "find_browser"]

NAMES = ("chromium", "chromium-browser", "google-chrome")
OWN = Path(sys.prefix) / "browser"  #: goes with the environment
PROGRAM = Path("usr/lib/chromium/chromium")
FONTS = "fonts.conf"  #: the system's fonts, and those that were unpacked where it has none


@dataclass(frozen=True)
class Browser:
    """A browser's program and what its environment needs beside the usual."""

    path: str
    environ: dict[str, str] = field(default_factory=dict)


def find_browser(own: Path = OWN, which: Callable[[str], str | None] = shutil.which) -> Browser | None:
    """The system's browser, else the one unpacked in `own`; None: there is neither."""
    for name in NAMES:
        if path := which(name):
            return Browser(path)
    if not (own / PROGRAM).exists():
        return None
    environ = {"FONTCONFIG_FILE": str(own / FONTS)}
    if libraries := os.pathsep.join(map(str, _libraries(own))):
        environ["LD_LIBRARY_PATH"] = libraries
    return Browser(str(own / PROGRAM), environ)


def _libraries(own: Path) -> list[Path]:
    """Folders of shared libraries: some packages keep theirs one folder further down."""
    roots = [*own.glob("usr/lib/*-linux-gnu*"), *own.glob("lib/*-linux-gnu*")]
    return [
        folder for root in roots for folder in (root, *sorted(root.iterdir())) if any(folder.glob("lib*.so*"))
    ]


def _fonts(own: Path) -> str:
    return (
        '<fontconfig><include ignore_missing="yes">/etc/fonts/fonts.conf</include>'
        f"<dir>{escape(str(own / 'usr/share/fonts'))}</dir>"
        '<cachedir prefix="xdg">fontconfig</cachedir></fontconfig>\n'
    )


def bring_browser(own: Path = OWN, which: Callable[[str], str | None] = shutil.which) -> str | None:
    """Fetch and unpack Chromium into `own`; returns why it is not there after all, or None."""
    if which("apt-get") is None or which("dpkg") is None:
        return "No Chromium was found. Install one so that it can be started as `chromium`."
    making = own.with_name(own.name + ".making")
    shutil.rmtree(making, ignore_errors=True)
    lists, cache, files = making / "lists", making / "cache", making / "files"
    for folder in (lists / "partial", cache / "archives" / "partial", files):
        folder.mkdir(parents=True)
    options = (
        f"Dir::State::lists={lists}",
        f"Dir::Cache={cache}",
        "Debug::NoLocking=1",
        "APT::Sandbox::User=root",
    )
    apt = ["apt-get", "--quiet", "--yes", *(word for option in options for word in ("-o", option))]
    failed = _failed([*apt, "update"]) or _failed(
        [*apt, "install", "--download-only", "--no-install-recommends", "chromium"]
    )
    if failed is None:
        for package in sorted((cache / "archives").glob("*.deb")):
            failed = failed or _failed(["dpkg", "--extract", str(package), str(files)])
    if failed is None and not (files / PROGRAM).exists():
        failed = "Debian's package no longer holds " + str(PROGRAM)
    if failed is None:
        (files / FONTS).write_text(_fonts(own), encoding="utf-8")
        shutil.rmtree(own, ignore_errors=True)
        files.rename(own)  # whole or not there
    shutil.rmtree(making, ignore_errors=True)
    return failed and f"No Chromium could be fetched ({failed}). As root: apt install chromium."


def _failed(command: list[str]) -> str | None:
    """The last line of what a command says, where it fails."""
    done = subprocess.run(
        command,
        env=os.environ | {"DEBIAN_FRONTEND": "noninteractive", "LC_ALL": "C.UTF-8"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
    )
    if done.returncode == 0:
        return None
    return (done.stdout.strip().splitlines() or [f"{command[0]} ended with {done.returncode}"])[-1]
