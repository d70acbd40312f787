"""Calls of the pages, each made whole; only what takes long without showing more is made short, or once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from flatstock.actions import demo
from tests.charts import charts_once


@pytest.fixture(autouse=True, scope="session")
def once() -> Iterator[None]:
    with charts_once():
        yield


@pytest.fixture(autouse=True)
def a_shorter_demo(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its week and its room pass after a few seconds; the rest makes them better, which no page shows."""
    monkeypatch.setattr(demo, "PLANNING", 5.0)
    monkeypatch.setattr(demo, "PLACING", 4.0)
