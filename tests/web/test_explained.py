"""What stands behind the numbers is read in the app, without internet: sources lead there, and links lead on."""

from __future__ import annotations

import re
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Page, expect

from flatstock.web.explained import explanations, linked
from tests.web.conftest import Served
from tests.web.test_pages_in_a_browser import faults_by_axe

DOCS = Path(__file__).parents[2] / "docs"
NAMES = {path.relative_to(DOCS).with_suffix("").as_posix() for path in DOCS.rglob("*.md")} - {"architecture"}


def test_every_explanation_is_in_the_contents_by_its_title(client: httpx.Client) -> None:
    text = client.get("/how").text
    assert {one.name for one in explanations()} == NAMES
    for name in NAMES:
        assert f'href="/how/{name}"' in text


def test_every_link_leads_to_a_heading_that_is_there(client: httpx.Client) -> None:
    pages = {name: client.get(f"/how/{name}") for name in NAMES}
    assert {page.status_code for page in pages.values()} == {200}
    found = 0
    for page in pages.values():
        for name, anchor in re.findall(r'href="/how/([a-z/-]+)(?:#([^"]+))?"', page.text):
            found += 1
            assert name in NAMES
            assert not anchor or f'id="{anchor}"' in pages[name].text
        assert not re.findall(r'href="[^"]*\.md', page.text)
        assert not re.findall(r">[a-z-]+\.md</a>", page.text)
    assert found > 50


def test_what_is_not_there_is_said_to_be_missing(client: httpx.Client) -> None:
    for name in ("nothing", "../pyproject", "architecture", "files"):
        assert client.get(f"/how/{name}").status_code == 404


def test_a_source_cannot_bring_marks_of_its_own_onto_a_page() -> None:
    assert "<script>" not in linked("<script>docs/heat.md")


def test_the_source_of_a_number_leads_to_how_it_is_worked_out(page: Page, served: Served) -> None:
    page.goto(served.address + "/card?plastic=hdpe&thickness=12")
    page.get_by_role("link", name="Why: Advised dwell").click()
    page.locator("#why-dwell_advised_min").get_by_role(
        "link", name=re.compile("^(Pressing|Heat)")
    ).first.click()
    expect(page.locator("h1")).to_have_text(re.compile("^(Pressing|Heat)"))
    page.get_by_role("link", name="Everything that is explained").click()
    expect(page.locator("h1")).to_have_text("How it is worked out")


@pytest.mark.parametrize("address", ["/how", "/how/planning", "/how/files/shop"])
def test_axe_finds_nothing_and_no_explanation_is_wider_than_a_phone(
    page: Page, served: Served, address: str
) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(served.address + address)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert faults_by_axe(page) == []
