"""Float and sink, how many flakes, water in a charge: asked as somebody with wet gloves asks."""

from __future__ import annotations

import re

import httpx
import pytest
from playwright.sync_api import Page, expect

from tests.web.conftest import Served
from tests.web.test_pages_in_a_browser import faults_by_axe

PAGES = (
    "/store/float",
    "/store/float?seen=998.2:sinks&lot=L-2306",
    "/store/sample?looked=3000&found=1",
    "/store/water",
)


def test_taps_in_liquid_after_liquid_leave_one_plastic(page: Page, served: Served) -> None:
    """A flake of PP: it floats in whatever is heavier than 0.91."""
    page.goto(f"{served.address}/store/float")
    lead = page.locator(".controls .lead").first
    for _ in range(4):
        said = lead.inner_text()
        if "Put a flake" not in said:
            break
        density = float(said.split(",")[1].split("g/cm³")[0])
        page.get_by_role("button", name="It floats" if density > 0.905 else "It sinks").click()
        expect(lead).not_to_have_text(said)
    left = page.locator(".answer tbody th").all_inner_texts()
    assert any("PP" in one or "olypropylene" in one for one in left)
    assert not any("PVC" in one for one in left)


def test_ps_and_abs_in_brine_are_not_told_apart_by_density(client: httpx.Client) -> None:
    """Their bands overlap, so the answer is that density does not decide."""
    text = client.get("/store/float?seen=998.2:sinks&seen=1080:floats").text
    for said in ("Density tells no further", "ABS", "PS"):
        assert said in text


def test_what_no_plastic_does_asks_to_look_again(client: httpx.Client) -> None:
    assert "Look again" in client.get("/store/float?seen=925:floats&seen=1190:sinks").text


def test_an_observation_is_taken_back_by_a_tap(page: Page, served: Served) -> None:
    page.goto(f"{served.address}/store/float?seen=998.2:sinks")
    expect(page.locator("#left")).not_to_contain_text("16 of 16")
    page.get_by_role("link", name="Take back").click()
    expect(page.locator("#left")).to_contain_text("16 of 16")


def test_a_density_read_off_a_hydrometer_may_have_a_comma(client: httpx.Client) -> None:
    """77.5 g of salt to a kilogram of water make 1.050 (`salt_water_table` in docs/sources.md)."""
    assert "77 g of table salt to 1 kg" in client.get("/store/float?liquid=1,05").text


def test_a_liquid_that_nothing_here_makes_is_refused(client: httpx.Client) -> None:
    answer = client.get("/store/float?liquid=1.4")
    assert answer.status_code == 422
    assert "between 0.867 and 1.197" in answer.text


def test_ninety_five_per_cent_sure_of_a_thousandth_takes_2995_flakes(client: httpx.Client) -> None:
    """ln 0.05 / ln 0.999, upwards; 135 g at 45 mg (worked by hand)."""
    text = client.get("/store/sample").text
    assert "2 995" in text
    assert "135" in text


def test_a_find_says_how_many_more_to_look_through(page: Page, served: Served) -> None:
    page.goto(f"{served.address}/store/sample?looked=3000")
    expect(page.locator("#answer")).to_contain_text("enough")
    page.get_by_role("button", name="1 more", exact=False).last.click()
    expect(page.locator("#answer")).to_contain_text("Look through 1742 more")


def test_more_finds_than_may_be_in_it_are_not_looked_away(client: httpx.Client) -> None:
    assert "more looking will not help" in client.get("/store/sample?looked=1000&found=5").text


@pytest.mark.parametrize(("looked", "found"), [(500, 2), (500, 0)])
def test_a_sample_that_does_not_show_it_is_not_noted_as_clean_enough(
    client: httpx.Client, served: Served, looked: int, found: int
) -> None:
    page = client.get(f"/store/sample?looked={looked}&found={found}&lot=L-2303").text
    assert "too many strangers" in page
    assert 'value="passed"' not in page
    said = {"test": "zero_find", "result": "passed", "number": "0.6", "share": "0.1", "who": "OP4"}
    answer = httpx.post(f"{served.address}/store/lot/L-2303/test", data=said, timeout=60)
    assert answer.status_code == 422
    assert "up to 0.6 % may be strangers" in answer.text


def test_a_sample_that_shows_it_may_be_noted_as_clean_enough(client: httpx.Client) -> None:
    assert 'value="passed"' in client.get("/store/sample?looked=3000&lot=L-2303").text


def test_water_is_told_as_litres_of_steam(client: httpx.Client) -> None:
    """0.3 % in 11.7 kg: 35 g, 74 L in the open, 21 L at 0.25 MPa (worked by hand with the ideal gas law)."""
    text = client.get("/store/water?charge=11.7&moisture=0.3&set_point=190&pressure=0.25").text
    for said in (">74<", ">21<", ">35<", "press it"):
        assert said in text


def test_litres_of_steam_are_explained_as_litres(client: httpx.Client) -> None:
    text = client.get("/store/water", params={"charge": "11.74", "moisture": "0.3"}).text
    assert re.search(r"Steam with the press open</span> <span class=\"now\">75 L<", text)
    assert "75.1031" not in text


def test_what_a_sample_loses_on_drying_counts_as_its_water(client: httpx.Client) -> None:
    text = client.get("/store/water?before=100,0&after=99,4").text
    assert "dry it first" in text
    assert "0.6 % water" in text


@pytest.mark.parametrize("width", [360, 820, 1920])
@pytest.mark.parametrize("address", PAGES)
def test_axe_finds_nothing_on_flake_tests(page: Page, served: Served, address: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(served.address + address)
    assert faults_by_axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_what_no_card_can_be_made_for_is_not_said_to_be_pressable(client: httpx.Client) -> None:
    page = client.get("/store/float").text
    for name, said in (
        ("PMMA", "no card: data are missing"),
        ("poly(lactic acid), L-rich", "no card: data are missing"),
        ("PVC", "never pressed"),
        ("polyethylene, high density", "may be pressed once released"),
    ):
        row = page.split(f"<strong>{name}</strong>", 1)[1].split("</tr>", 1)[0]
        assert said in row
    assert "0.950 to 0.950" not in page
