"""The pages in a real browser: dials, addresses, accessibility, sizes."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.web.conftest import Served
from tests.web.test_pages_answer import PAGES

AXE = (Path(__file__).parent / "vendor" / "axe.min.js").read_text("utf-8")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def faults_by_axe(page: Page) -> list[str]:
    """What axe-core finds against WCAG 2.2 A and AA, and its own good practice.

    Only what is wrong is written out: with all that is right too, a page takes three times as long.
    """
    page.evaluate(AXE)
    found: list[dict[str, Any]] = page.evaluate(
        """async rules => {
            const asked = {runOnly: {type: "tag", values: rules}, resultTypes: ["violations"], iframes: false}
            return (await axe.run(document, asked)).violations
        }""",
        RULES,
    )
    return [f"{one['id']}: {node['html'][:150]}" for one in found for node in one["nodes"]]


def test_axe_tells_what_is_wrong_of_each_kind(page: Page) -> None:
    page.set_content(
        "<html lang=en><title>A page</title><main><h1>A page</h1><img src='data:,'>"
        "<p style='color: #aaa; background: #fff'>grey</p><button></button></main>"
    )
    found = {one.split(":")[0] for one in faults_by_axe(page)}
    assert {"image-alt", "color-contrast", "button-name"} <= found


@pytest.mark.parametrize("address", PAGES)
def test_axe_finds_nothing(page: Page, served: Served, address: str) -> None:
    page.set_viewport_size({"width": 1180, "height": 800})
    page.goto(served.address + address)
    grounds: tuple[Any, ...] = ("light", "dark")
    for ground in grounds:
        page.emulate_media(color_scheme=ground)
        assert faults_by_axe(page) == [], ground
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": 360, "height": 800})
    assert faults_by_axe(page) == []


@pytest.mark.parametrize("address", PAGES)
def test_a_page_is_never_wider_than_the_screen(page: Page, served: Served, address: str) -> None:
    page.set_viewport_size({"width": 360, "height": 800})
    page.goto(served.address + address)
    for width in (360, 820, 1180, 1920, 360):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_on_a_phone_no_table_of_purchases_is_scrolled_sideways(page: Page, served: Served) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{served.address}/before/purchases")
    wide = "() => [...document.querySelectorAll('.wide')].filter(one => one.scrollWidth > one.clientWidth + 1).length"
    assert page.evaluate(wide) == 0


def test_a_step_button_answers_at_once_and_the_address_follows(page: Page, served: Served) -> None:
    page.goto(served.address + "/card?plastic=hdpe&thickness=12")
    weigh = page.locator(".big .digits").first
    expect(weigh).to_contain_text("11.74")
    page.get_by_role("button", name="0.25 mm more").click()
    expect(weigh).to_contain_text("11.98")
    expect(page).to_have_url(re.compile("thickness=12.25"))
    page.reload()
    expect(weigh).to_contain_text("11.98")


def test_the_slider_and_the_number_say_the_same(page: Page, served: Served) -> None:
    page.goto(served.address + "/card?plastic=hdpe&thickness=12")
    page.get_by_role("slider", name="Set-point of the platens").fill("190")
    expect(page.get_by_label("Set-point of the platens", exact=True)).to_have_value("190")
    expect(page.locator("#answer")).to_contain_text("at 190 °C")


def test_fans_off_and_a_third_mould_are_one_tap_each(page: Page, served: Served) -> None:
    page.goto(served.address + "/card?plastic=hdpe&thickness=12")
    page.locator("label", has_text="third").click()
    # answered before the next is asked: a question that is broken off for another is told on the console
    expect(page.locator("#answer")).to_contain_text("third in a row, fans on")
    page.get_by_role("group", name="Fans while it cools").locator("label", has_text="off").click()
    expect(page.locator("#answer")).to_contain_text("third in a row, fans off")


def test_why_opens_the_reason_of_its_number(page: Page, served: Served) -> None:
    page.goto(served.address + "/card?plastic=hdpe&thickness=12")
    page.get_by_role("link", name="Why: Advised dwell").click()
    expect(page.locator("#why-dwell_advised_min .formula")).to_be_visible()


def test_the_card_works_by_keyboard_alone(page: Page, served: Served) -> None:
    page.goto(served.address + "/card?plastic=hdpe&thickness=12")
    page.get_by_role("slider", name="Thickness of the cold sheet").focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_label("Thickness of the cold sheet", exact=True)).to_have_value("12.25")


def test_a_page_without_scripts_answers_too(browser: Any, served: Served) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(served.address + "/card?plastic=hdpe&thickness=12")
    page.get_by_label("Thickness of the cold sheet", exact=True).fill("18")
    page.get_by_role("button", name="Answer").click()
    expect(page.locator(".big .digits").first).to_contain_text("17.6")
    context.close()
