"""A new workshop in the browser: what nobody can mean is told at its question, in the words of the page."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.web.conftest import Served
from tests.web.test_pages_in_a_browser import faults_by_axe


def test_a_room_of_eight_millimetres_is_asked_about_where_it_was_written(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    (tmp_path / "new").mkdir()
    page.goto(f"{serve(tmp_path / 'new', None).address}/start")
    for name, value in {"room_length": "8", "volts": "4", "cavity_length": "9000"}.items():
        page.locator(f"[name={name}]").fill(value)
    page.get_by_role("button", name="Start the workshop").click()
    expect(page.get_by_role("alert")).to_contain_text(
        "3 questions need another look: nothing has been written"
    )
    expect(page.locator("fieldset.wrong", has_text="How long, wide and high is the room?")).to_contain_text(
        "8 mm can't be meant: a room is 1500 mm"
    )
    expect(page.locator("main")).not_to_contain_text(".toml")
    expect(page.locator("[name=room_length]")).to_have_attribute("aria-invalid", "true")
    assert faults_by_axe(page) == []
    assert list((tmp_path / "new").iterdir()) == []
    for name, value in {"room_length": "8 m", "volts": "400", "cavity_length": "60 cm"}.items():
        page.locator(f"[name={name}]").fill(value)
    page.get_by_role("button", name="Start the workshop").click()
    page.wait_for_url("**/card*", timeout=60_000)
