"""Every page answers, by itself and from nowhere else."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import httpx
import pytest

from tests.web.conftest import Served, demo_folder

PAGES = (
    "/week",
    "/orders",
    "/card",
    "/frame",
    "/stack",
    "/store",
    "/before",
    "/before/room",
    "/before/supply",
    "/before/purchases",
)


@pytest.mark.parametrize("address", [*PAGES, "/shop/part/shop", "/shop/part/room", "/shop/part/supply"])
def test_a_page_answers_without_options_of_commands_and_names_of_fields(
    client: httpx.Client, address: str
) -> None:
    answer = client.get(address)
    assert answer.status_code == 200
    assert "<h1>" in answer.text
    seen = re.sub(r"<[^>]+>", " ", re.sub(r"(?s)<(script|style|template).*?</\1>", " ", answer.text))
    assert re.findall(r"--[a-z][\w-]+|\b[a-z]+_\w+|`[^`]*`", seen) == []


@pytest.mark.parametrize("address", PAGES)
def test_a_page_fetches_nothing_from_outside_and_runs_nothing_of_its_own_text(
    client: httpx.Client, address: str
) -> None:
    text = client.get(address).text
    fetched = re.findall(r'(?:src|href|action|hx-get|hx-post)="([^"]+)"', text)
    assert [one for one in fetched if not one.startswith(("/", "#"))] == []
    assert re.findall(r"<script(?![^>]*src=)|\sstyle=|\son[a-z]+=|javascript:", text) == []


def test_the_policy_allows_the_apps_own_scripts_alone(client: httpx.Client) -> None:
    policy = client.get("/card").headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy


def test_an_unknown_page_says_so(client: httpx.Client) -> None:
    answer = client.get("/no/such/page")
    assert answer.status_code == 404
    assert "there is no such page" in answer.text


def test_the_card_says_the_charge_of_story_one(client: httpx.Client) -> None:
    """11.74 kg, 14.35 mm: the worked story of what to weigh."""
    text = client.get("/card?plastic=hdpe&thickness=12").text
    assert "11.74" in text
    assert "net 11.45 kg" in text
    assert "14.3" in text


def test_a_heap_in_the_middle_and_a_gauge_are_asked_on_the_card_and_its_pressure_is_on_paper_too(
    client: httpx.Client,
) -> None:
    """36 s, and from 14.3 min on: what the command says of half the cavity at contact pressure; 100 bar is 0.15 MPa."""
    asked = "plastic=hdpe&thickness=12&footprint=50&gauge=100"
    text = client.get(f"/card?{asked}").text
    words = re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", text))
    assert "50 % of the cavity" in words
    assert "36 s (31 to 54) after melting through at contact pressure" in words
    assert "may go on from 14.3 min" in words
    assert "enough : full pressure is 154 kN" in words
    assert "must read 100 bar at full pressure, 20 bar at contact" in words
    assert "footprint=50&amp;gauge=100" in text


def test_a_gauge_beyond_the_press_is_refused_in_bar(client: httpx.Client) -> None:
    answer = client.get("/card?plastic=hdpe&thickness=12&gauge=250")
    assert answer.status_code == 422
    assert "(250 bar)" in answer.text
    assert "(195 bar)" in answer.text


def test_the_frame_that_the_page_tells_is_the_commands(client: httpx.Client) -> None:
    """(1200 + 20) / 0.975 and (800 + 20) / 0.975, up to whole millimetres, in the plastic that may shrink most."""
    text = client.get("/frame").text
    assert "1252 × 842 mm" in text
    assert "1332 × 922 mm" in text
    words = re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", client.get("/frame?length=1000&plastic=pp").text))
    assert "For 1000 × 800 mm trimmed" in words
    assert "1250 × 840 mm F06-1" in words
    assert client.get("/frame?length=five").status_code == 422


def test_a_charge_of_film_flake_is_filled_in_two_steps(client: httpx.Client) -> None:
    """The worked story of what to weigh: the heap of lot L-2307 stands about 91 mm high."""
    text = client.get("/card?plastic=ldpe&thickness=12&lot=L-2307").text
    assert "91 mm of 180 mm daylight" in text
    assert "two steps with a collar" in text


def test_a_set_point_over_the_limit_is_refused_with_the_limit(client: httpx.Client) -> None:
    answer = client.get("/card?plastic=hdpe&thickness=12&set_point=260")
    assert answer.status_code == 422
    assert "220" in answer.text


def test_the_part_that_changes_comes_alone_and_says_its_address(client: httpx.Client) -> None:
    answer = client.get("/card?plastic=hdpe&thickness=18", headers={"HX-Request": "true"})
    assert "<html" not in answer.text
    assert answer.headers["hx-replace-url"].startswith("/card?plastic=hdpe&thickness=18")


def test_the_third_mould_stays_closed_longer_than_the_first(client: httpx.Client) -> None:
    first, third = (
        client.get(f"/card?plastic=hdpe&thickness=12&mould={n}", headers={"HX-Request": "true"}).text
        for n in "13"
    )
    minutes = [
        float(re.search(r"Keep closed.*?digits\">([\d.]+)", text, re.DOTALL)[1]) for text in (first, third)
    ]
    assert minutes[0] < minutes[1]


def test_a_stack_has_things_to_try(client: httpx.Client) -> None:
    words = "&".join(f"plastic=hdpe&thickness=18&arrives={at}&core=189" for at in ("09:00", "09:48", "10:36"))
    text = client.get(f"/stack?{words}&at=08:00").text
    assert "Things to try" in text
    assert "two stacks" in text


def test_a_mould_taken_off_the_stack_is_gone_from_the_address(client: httpx.Client) -> None:
    words = "&".join(f"plastic=hdpe&thickness=18&arrives={at}&core=" for at in ("09:00", "10:00"))
    answer = client.get(f"/stack?{words}&do=off-1")
    assert answer.status_code == 303
    assert "10%3A00" not in answer.headers["location"]


def test_prints_come_as_pdf(client: httpx.Client) -> None:
    for address in ("/card.pdf?plastic=hdpe&thickness=12", "/before/supply.pdf", "/before/purchases.pdf"):
        answer = client.get(address)
        assert answer.status_code == 200, address
        assert answer.content.startswith(b"%PDF")


def test_a_shop_with_a_comma_reads_commas_and_am_and_pm(tmp_path: Path, serve: Callable[..., Served]) -> None:
    folder = demo_folder(tmp_path / "shop")
    file = folder / "shop.toml"
    file.write_text(
        file.read_text().replace("units =", 'decimal_mark = "comma"\nclock_face = "am_pm"\nunits =', 1)
    )
    address = serve(folder).address
    card = httpx.get(f"{address}/card?plastic=hdpe&thickness=12,0", timeout=60).text
    assert "11,74" in card
    assert "11.74" not in re.sub(r"<[^>]*>", " ", card)
    assert re.search(r"\d:\d\d [ap]m", httpx.get(f"{address}/week", timeout=60).text)


def test_a_shop_in_inches_reads_pounds(tmp_path: Path, serve: Callable[..., Served]) -> None:
    folder = demo_folder(tmp_path / "shop")
    file = folder / "shop.toml"
    file.write_text(file.read_text().replace('units = "metric"', 'units = "us"', 1))
    card = httpx.get(f"{serve(folder).address}/card?plastic=hdpe&thickness=0.5", timeout=60).text
    assert "27." in card  # 12.7 mm: 12.4 kg
    assert "> lb<" in card
    assert "383 °F" in card


def test_the_dials_of_a_shop_with_a_comma_read_commas(tmp_path: Path, serve: Callable[..., Served]) -> None:
    file = demo_folder(tmp_path / "shop") / "shop.toml"
    file.write_text(file.read_text().replace("units =", 'decimal_mark = "comma"\nunits =', 1))
    served = serve(file.parent)
    for page, said in (
        ("/card", "+0,25"),
        ("/store/water", "0,05 %"),
        ("/store/water", 'value="11,74"'),
        ("/store/sample", "0,1 %"),
    ):
        text = httpx.get(f"{served.address}{page}", timeout=60).text
        assert said in text, page
        assert re.findall(r">[−+]?\d+\.\d+ ?[a-z%°]*</button>", text) == []
