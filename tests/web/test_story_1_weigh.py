"""The worked story of what to weigh, on a tablet in gloves; the numbers are the story's own."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.web.conftest import Served
from tests.web.test_pages_in_a_browser import faults_by_axe


@pytest.fixture
def card(page: Page, served: Served) -> Page:
    page.set_viewport_size({"width": 1180, "height": 820})
    page.goto(f"{served.address}/card")
    page.locator("#plastic").select_option("hdpe")
    expect(page.locator("#answer")).to_contain_text("HDPE 12 mm")
    return page


def test_hdpe_12_mm_is_weighed_on_its_cold_size_and_rounded_to_the_scale(card: Page) -> None:
    answer = card.locator("#answer")
    expect(answer).to_contain_text("11.74")
    expect(answer).to_contain_text("net 11.45 kg")
    expect(answer).not_to_contain_text(re.compile(r"11\.97|15\.3|11\.7374"))
    expect(answer).to_contain_text(
        re.compile(r"the net charge stands at 14\.3\d? mm, 2\.3\d? mm over the frame")
    )
    expect(answer).to_contain_text(re.compile(r"the whole charge at 14\.7 mm"))
    expect(answer).to_contain_text(re.compile(r"Heap 3[34](\.\d)? mm of 180 mm daylight"))
    expect(answer).to_contain_text(re.compile(r"(±|by) ?0\.05"))


def test_another_plastic_has_another_charge_not_the_same_factor(card: Page) -> None:
    card.locator("#plastic").select_option("hips")
    answer = card.locator("#answer")
    expect(answer).to_contain_text("13.36")
    expect(answer).to_contain_text(re.compile(r"the net charge stands at 12\.8\d? mm"))


def test_wet_film_is_refused_with_how_it_would_heap(card: Page) -> None:
    """The story asks for the heap; the rules of safety refuse breathing above 0.3 % water, so the refusal says it."""
    card.locator("#plastic").select_option("ldpe")
    answer = card.locator("#answer")
    expect(answer).to_contain_text("0.6 % water")
    expect(answer).to_contain_text(
        "the loose charge stands 91 mm of 180 mm daylight; fill in two steps with a collar"
    )


def test_axe_finds_nothing_on_the_card(card: Page) -> None:
    assert faults_by_axe(card) == []


def test_gloves_find_steps_of_at_least_twenty_millimetres(browser: Browser, served: Served) -> None:
    """A tablet of 1180 pixels on 19 cm, which has 63 of them in a centimetre."""
    context = browser.new_context(viewport={"width": 1180, "height": 820}, has_touch=True, is_mobile=True)
    tablet = context.new_page()
    tablet.goto(f"{served.address}/card")
    steps = tablet.locator(".dial .step").evaluate_all(
        "all => all.map(one => one.getBoundingClientRect().height)"
    )
    context.close()
    assert len(steps) >= 4
    assert [tall for tall in steps if tall < 126] == []
