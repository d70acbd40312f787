"""What a page offers a device, by a form or a way to another page, is what that device's role may have."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from urllib.parse import urljoin, urlparse

import pytest

from flatstock.web.access.door import Visitor, may
from tests.web.test_access import Elsewhere, elsewhere

__all__ = ["elsewhere"]

PAGES = ("/", "/week", "/orders", "/orders/ask", "/orders/recycled", "/card", "/stack", "/store", "/store/lot/L-2302",
         "/store/lot/L-2302/trace", "/store/float?lot=L-2302&seen=998.2:floats", "/store/sample?lot=L-2302&looked=3000",
         "/store/water?lot=L-2302&before=100&after=99.9", "/store/used-up", "/store/sheets", "/before", "/before/supply", "/fault",
         "/happened", "/power", "/shop")  # fmt: skip
#: hidden from a visitor's device by the style of every page
HIDDEN = re.compile(r"^(/checks/start|/demould|/handover)$")


class Offered(HTMLParser):
    """The pages and acts that stand in a page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: set[tuple[str, str]] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        if tag == "a" and (said.get("href") or "").startswith("/"):
            self.found.add(("GET", said["href"] or ""))
        elif tag == "form" and said.get("method", "").lower() == "post":
            self.found.add(("POST", said.get("action") or ""))


@pytest.mark.parametrize("role", ["operator", "visitor"])
def test_no_page_offers_what_the_device_may_not_have(elsewhere: Elsewhere, role: str) -> None:
    elsewhere.pair(role)
    asks = Visitor(role=role, here=False, name="", session="", device="d")
    vain = []
    for page in PAGES:
        answer = elsewhere.ask("GET", page)
        if page == "/shop" and role == "visitor":
            continue
        assert answer.status_code == 200, page
        offered = Offered()
        offered.feed(answer.text)
        for method, address in sorted(offered.found):
            path = urlparse(urljoin(page, address)).path
            if not may(asks, method, path, open_records=False) and not (
                role == "visitor" and HIDDEN.match(path)
            ):
                vain.append((page, method, path))
    assert vain == []
