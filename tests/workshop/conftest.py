"""A copy of the demo to break, and the faults that come of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from flatstock import demo
from flatstock.errors import Fault
from flatstock.workshop.files import check

Breaker = Callable[..., list[Fault]]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the demo workshop."""
    demo.copy_to(tmp_path / "shop")
    return tmp_path / "shop"


@pytest.fixture
def edit(folder: Path) -> Callable[[str, str, str], Path]:
    """Replace one piece of one file; the piece must be there."""

    def change(file: str, old: str, new: str) -> Path:
        text = (folder / file).read_text("utf-8")
        assert old in text
        (folder / file).write_text(text.replace(old, new, 1), "utf-8")
        return folder

    return change


@pytest.fixture
def faults(edit: Callable[[str, str, str], Path]) -> Breaker:
    """The faults of the demo after one edit."""

    def after(file: str, old: str, new: str) -> list[Fault]:
        _, found, _ = check(edit(file, old, new))
        return found

    return after


@pytest.fixture
def fault(faults: Breaker) -> Callable[[str, str, str], str]:
    """The sentence of the only fault of the demo after one edit."""

    def after(file: str, old: str, new: str) -> str:
        found = faults(file, old, new)
        assert len(found) == 1, [f.sentence() for f in found]
        return found[0].sentence()

    return after
