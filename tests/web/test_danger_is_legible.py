"""What the screen says and offers in danger is legible and reachable, in light and dim, on phone and wall."""

from __future__ import annotations

import httpx
import pytest
from playwright.sync_api import Page, expect

from tests.web.conftest import TUESDAY, Served
from tests.web.test_pages_in_a_browser import faults_by_axe

AT = TUESDAY.isoformat()
DANGER = {"id": "d", "at": AT, "noted_at": AT, "kind": "smoke", "who": [], "facts": {}}


@pytest.mark.parametrize(
    ("kind", "ground"),
    [("power_cut", "light"), ("power_cut", "dim"), ("smoke", "dim"), ("accident", "light")],
)
def test_axe_finds_nothing_on_the_board_in_danger(
    page: Page, tuesday: Served, kind: str, ground: str
) -> None:
    httpx.post(f"{tuesday.address}/floor/taps", json=[{**DANGER, "kind": kind}], timeout=60)
    page.context.add_cookies([{"name": "ground", "value": ground, "url": tuesday.address}])
    for width in (360, 1920):
        page.set_viewport_size({"width": width, "height": 900})
        page.goto(tuesday.address)
        expect(page.locator(".danger-now .do").first).to_be_visible()
        assert faults_by_axe(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
