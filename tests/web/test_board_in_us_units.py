"""A shop that reads pounds, inches and °F is asked in them; what is noted stays metric."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.records.store import open_store
from tests.web.conftest import Served, demo_folder

NOW = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)


def us_shop(folder: Path, *changes: tuple[str, str]) -> Path:
    """The demo in US units, with further changes of its shop.toml."""
    shop = demo_folder(folder) / "shop.toml"
    text = shop.read_text("utf-8")
    for old, new in (('units = "metric"', 'units = "us"'), *changes):
        assert old in text
        text = text.replace(old, new)
    shop.write_text(text, "utf-8")
    return folder


@pytest.fixture
def board(page: Page, tmp_path: Path, serve: Callable[..., Served]) -> Served:
    folder = us_shop(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append([one for one in noted_by(plan, NOW) if one.kind == "heating_on"])
    served = serve(folder, NOW)
    page.goto(served.address)
    return served


def press(page: Page, keys: str) -> None:
    for key in keys:
        page.locator(f"#hands [data-key='{key}']").click()


def noted(served: Served, kind: str) -> list[dict[str, object]]:
    events = served.app.state.floor.board().store.events()
    return [dict(one.facts) for _, one in events if one.kind == kind]


def test_a_charge_is_asked_in_pounds_and_noted_in_kilograms(page: Page, board: Served) -> None:
    first = page.locator(".coming li").first
    expect(first).to_contain_text("HDPE dark 0.47 in")
    expect(first.locator(".do")).to_contain_text("Weigh 25.88 lb of L-2301")
    first.locator(".do").click()
    expect(page.locator("#hands-number")).to_have_text("25.88")
    expect(page.locator("#hands-unit")).to_have_text("lb")
    press(page, "26.10")
    expect(page.locator("#hands-faults")).to_contain_text("0.22 lb over: 0.004 in too thick")
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    expect(first.locator(".do")).not_to_contain_text("Weigh 25.88 lb")
    (facts,) = noted(board, "weighed")
    assert facts["mass_kg"] == pytest.approx(26.10 * 0.45359237, abs=1e-4)
    assert facts["target_kg"] == pytest.approx(11.74)


def test_platens_are_read_in_fahrenheit_and_noted_in_celsius(page: Page, board: Served) -> None:
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Platens of HP1 read").click()
    expect(page.locator("#hands-unit")).to_have_text("°F")
    press(page, "383")
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    expect(page.locator("[data-place=HP1] .heat")).to_contain_text("read 383 °F")
    (facts,) = noted(board, "platen_read")
    assert facts["temperature_C"] == pytest.approx(195.0)


def test_a_reading_that_cannot_be_meant_is_asked_about_in_the_shops_unit(page: Page, board: Served) -> None:
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Platens of HP1 read").click()
    press(page, "700")
    expect(page.locator("#hands-faults")).to_have_text("700 °F? Between 41 and 572 is expected")


def test_a_scale_in_pounds_and_ounces_is_read_as_it_shows_them(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    """25 lb 14.1 oz are 414.1 oz of 0.028349523125 kg."""
    folder = us_shop(tmp_path / "shop", ("step_g = 20", "step_oz = 0.5"))
    served = serve(folder, NOW)
    page.goto(served.address)
    first = page.locator(".coming li").first
    expect(first.locator(".do")).to_contain_text("Weigh 25 lb 14.1 oz of L-2301")
    first.locator(".do").click()
    expect(page.locator("#hands-number")).to_have_text("25 lb 14.1")
    expect(page.locator("#hands-unit")).to_have_text("oz")
    press(page, "26")
    page.locator("#hands [data-key=lb]").click()
    press(page, "1.5")
    expect(page.locator("#hands-number")).to_have_text("26 lb 1.5")
    expect(page.locator("#hands-faults")).to_contain_text("3.4 oz over: 0.004 in too thick")
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    expect(first.locator(".do")).not_to_contain_text("Weigh 25 lb")
    (facts,) = noted(served, "weighed")
    assert facts["mass_kg"] == pytest.approx((26 * 16 + 1.5) * 0.028349523125, abs=1e-4)
    page.goto(f"{served.address}/store/lot/L-2302")
    expect(page.locator("main")).to_contain_text("418 lb 14.1 oz")
