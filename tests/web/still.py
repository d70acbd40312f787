"""Clocks that stand until a test sets them on: what counts seconds is tried without waiting for them."""

from __future__ import annotations

from datetime import datetime

from playwright.sync_api import Page

from flatstock.web.clockwork import Clockwork
from tests.web.conftest import Served

__all__ = ["StillClock", "set_on", "stand_still"]


class StillClock:
    """The app's clock, which shows a moment until it is set on."""

    def __init__(self, served: Served, moment: datetime) -> None:
        self.ahead = 0.0  #: [s]
        served.app.state.place.clock = Clockwork(moment, passing=lambda: self.ahead)


def stand_still(page: Page) -> None:
    """From its next loading on, no time passes for a page."""
    page.add_init_script("window.passed = 0; performance.now = () => window.passed;")


def set_on(page: Page, seconds: float) -> None:
    """So much time has passed for a page that stands still since it was loaded."""
    page.evaluate("ms => { window.passed = ms; }", seconds * 1000)
