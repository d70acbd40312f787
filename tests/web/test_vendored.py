"""Scripts of others are as their makers published them."""

from __future__ import annotations

from hashlib import sha256
from importlib.resources import files
from pathlib import Path

import pytest

VENDOR = files("flatstock.web") / "look" / "vendor"


@pytest.mark.parametrize("folder", [VENDOR, Path(__file__).parent / "vendor"], ids=["app", "tests"])
def test_each_script_has_the_checksum_beside_it(folder: Path) -> None:
    said = dict(reversed(line.split()) for line in (folder / "SHA256SUMS").read_text().splitlines())
    found = {
        one.name: sha256(one.read_bytes()).hexdigest() for one in folder.iterdir() if one.name.endswith(".js")
    }
    assert found == said


def test_each_script_has_its_licence_beside_it() -> None:
    names = {one.name for one in VENDOR.iterdir()}
    assert {"LICENSE-htmx.txt", "LICENSE-htmx-sse.txt", "LICENSE-idiomorph.txt"} <= names
