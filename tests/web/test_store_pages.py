"""What is in store is seen at once, however many lots were used up before."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import begin_day, noted_by
from flatstock.records.store import open_store
from tests.web.conftest import TUESDAY, Served, demo_folder, demo_kept_to, demo_on_record

OLD = 130


@pytest.fixture(scope="module")
def asks(
    tmp_path_factory: pytest.TempPathFactory, serve_module: Callable[..., Served]
) -> Iterator[httpx.Client]:
    """The demo with lots of years behind it, one of them held for a smell."""
    folder = demo_folder(tmp_path_factory.mktemp("store") / "shop")
    with (folder / "lots.csv").open("a", encoding="utf-8") as lots:
        for n in range(OLD):
            status, colour = ("released" if n % 2 else "empty"), ("red" if n % 10 == 3 else "dark")
            lots.write(f"H-{n:03d},hdpe,caps,{colour},0,{status},packaging,8,,,,,,\n")
        lots.write("H-held,hdpe,caps,dark,0,quarantine,packaging,8,,,,,,\n")
    with httpx.Client(base_url=serve_module(folder).address, timeout=60) as client:
        yield client


def test_every_sheet_that_was_begun_is_found_by_its_colour_and_leads_to_its_page(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_on_record(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    begin_day(folder, plan)
    with httpx.Client(base_url=serve(folder).address, timeout=60) as client:
        every = sheets_on(client.get("/store/sheets").text)
        blue = sheets_on(client.get("/store/sheets?q=hdpe+BLUE").text)
        assert blue == {one["id"] for one in plan["sheets"] if one["id"] in every and one["colour"] == "blue"}
        assert blue < every
        assert blue
        assert "No sheet has" in client.get("/store/sheets?q=%25").text
        assert f"1 to {len(every)} of {len(every)}" in client.get("/store/sheets?page=900").text


def sheets_on(page: str) -> set[str]:
    return set(re.findall(r'href="/record/([^"/]+)"', page))


def test_the_page_of_faults_offers_the_sheets_that_came_out_last(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    served = serve(demo_kept_to(tmp_path / "shop", TUESDAY), TUESDAY)
    assert (
        "PP green 6 mm" in httpx.get(f"{served.address}/store/sheets", timeout=60).text
    )  # as the plan has it
    offered = re.findall(r'href="/fault/new/([^"/]+)"', httpx.get(f"{served.address}/fault", timeout=60).text)
    assert "O-104-01" in offered
    asked = httpx.get(f"{served.address}/fault/new/{offered[0]}", timeout=60)
    assert asked.status_code == 200


def lots_on(page: str) -> list[str]:
    return re.findall(r'href="/store/lot/([^"/]+)"', page)


def test_the_store_shows_what_is_there_and_what_is_held(asks: httpx.Client) -> None:
    found = lots_on(asks.get("/store").text)
    assert {"L-2301", "H-held"} <= set(found)
    assert not [one for one in found if re.fullmatch(r"H-\d+", one)]


def test_lots_that_are_used_up_stand_on_pages_of_their_own_each_once(asks: httpx.Client) -> None:
    assert f"{OLD} lots used up" in asks.get("/store").text
    first = asks.get("/store/used-up").text
    pages = int(re.findall(r"page 1 of (\d+)", first)[0])
    found = [one for n in range(pages) for one in lots_on(asks.get(f"/store/used-up?page={n + 1}").text)]
    assert pages > 1
    assert sorted(found) == [f"H-{n:03d}" for n in range(OLD)]


def test_the_pages_lead_to_each_other_and_one_past_the_last_is_the_last(asks: httpx.Client) -> None:
    first, last = asks.get("/store/used-up").text, asks.get("/store/used-up?page=900").text
    assert 'rel="next" href="/store/used-up?page=2"' in first
    assert 'rel="prev"' not in first
    assert 'rel="next"' not in last
    assert 'rel="prev"' in last


def test_a_search_finds_a_lot_by_its_id_or_what_it_is(asks: httpx.Client) -> None:
    assert lots_on(asks.get("/store/used-up?q=h-077").text) == ["H-077"]
    red = asks.get("/store/used-up?q=Red+PACKAGING").text
    assert lots_on(red)
    assert {int(one[2:]) % 10 for one in lots_on(red)} == {3}


def test_a_search_for_a_lot_finds_its_regrind_too(asks: httpx.Client) -> None:
    assert lots_on(asks.get("/store?q=l-2301").text) == ["L-2301", "L-2308"]


def test_a_search_that_finds_nothing_says_so_in_the_words_it_was_given(asks: httpx.Client) -> None:
    text = asks.get("/store/used-up", params={"q": "<b>none"}).text
    assert "&lt;b&gt;none" in text
    assert "<b>none" not in text
    assert 'href="/store/used-up">See them all' in text


def test_what_is_weighed_is_out_of_the_lot_and_no_longer_planned(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    """By noon more of L-2301 is weighed than at dawn; on hand less what is still planned stays what it was."""
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    left = []
    for moment in (datetime(2026, 3, 2, 6, tzinfo=UTC), datetime(2026, 3, 2, 12, tzinfo=UTC)):
        with open_store(folder) as store:
            store.append(noted_by(plan, moment))
        text = httpx.get(f"{serve(folder, moment).address}/store", timeout=60).text
        (row,) = re.findall(r'href="/store/lot/L-2301".*?</tr>', text, re.DOTALL)
        there, *planned, free = (float(kg) for kg in re.findall(r"([\d.]+) kg", row))
        left.append((there, sum(planned), free))  # nothing stands where nothing is planned
    (on_hand, planned_then, free), (on_hand_later, planned_later, free_later) = left
    assert on_hand_later < on_hand
    assert free == pytest.approx(on_hand - planned_then, abs=0.011)
    assert free_later == pytest.approx(free, abs=0.011)
    assert planned_later == pytest.approx(planned_then - (on_hand - on_hand_later), abs=0.011)
