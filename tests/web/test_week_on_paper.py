"""The week's papers and what it finds in store, from its page."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import httpx
from pypdf import PdfReader

from flatstock.actions.kept import kept_plan
from tests.web.conftest import MONDAY, Served, demo_folder

OFFER = "OC-41 and OC-42 in place of O-103-05 save a sheet: 5.67 kg of flake."


def words_of(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages).split())


def test_each_paper_of_the_week_is_a_tap_away(client: httpx.Client) -> None:
    listed = re.findall(r'href="(/week/paper/[^"]+|/emergency-card\.pdf)"', client.get("/week").text)
    assert {one.rsplit("/", 1)[1] for one in listed} == {
        "week-board-a4.pdf", "week-board-a3.pdf", "time-chart-a3.pdf", "day-2026-03-02.pdf", "emergency-card.pdf"
    }  # fmt: skip
    tuesday = re.findall(r'href="(/week/paper/day[^"]+)"', client.get("/week?day=2026-03-03").text)
    assert tuesday == ["/week/paper/day-2026-03-03.pdf"]
    for address in (*listed, *tuesday):
        answer = client.get(address)
        assert (answer.status_code, answer.headers["content-type"]) == (200, "application/pdf")
        assert answer.content.startswith(b"%PDF-")


def test_the_days_paper_is_that_days(client: httpx.Client) -> None:
    words = words_of(client.get("/week/paper/day-2026-03-03.pdf").content)
    assert words.startswith("OP1 Lower Sluice Sheet Workshop Tue 3 March 2026")
    assert "Mon 2 March 2026" not in words.replace("Made Mon 2 March 2026", "")


def test_a_paper_that_is_none_is_refused_in_a_sentence(client: httpx.Client) -> None:
    answer = client.get("/week/paper/day-2026-03-09.pdf")
    assert answer.status_code == 422
    assert "week has none called" in answer.text


def test_without_a_plan_there_is_the_emergency_card_alone(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    served = serve(demo_folder(tmp_path / "shop", plan=False), MONDAY)
    refused = httpx.get(f"{served.address}/week/paper/week-board-a4.pdf", timeout=60)
    assert refused.status_code == 422
    assert "nothing is planned" in refused.text
    card = httpx.get(f"{served.address}/emergency-card.pdf", timeout=60)
    assert "IN DANGER" in words_of(card.content)


def test_offcuts_that_save_a_sheet_stand_on_the_weeks_page_and_with_their_order(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_folder(tmp_path / "shop")
    offer = {"order": "O-103", "text": OFFER}
    (folder / "plan.json").write_text(json.dumps({**(kept_plan(folder) or {}), "offcuts": [offer]}), "utf-8")
    served = serve(folder, MONDAY)
    for address, there in (("/week", True), ("/orders/why/O-103", True), ("/orders/why/O-104", False)):
        assert (OFFER in httpx.get(served.address + address, timeout=60).text) is there


def test_what_is_to_spare_is_told_in_minutes_where_it_is_little(client: httpx.Client) -> None:
    """O-103 is due on Friday at 15:00, and ready at 14:48 by the plan of these tests."""
    assert "12 min to spare" in client.get("/orders").text
    assert "12 min" in client.get("/orders/why/O-103").text
