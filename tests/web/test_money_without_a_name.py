"""A new workshop's purchases name no currency: the page says none, and not that it is none."""

from __future__ import annotations

import re
from pathlib import Path

from tests.web.conftest import demo_folder
from tests.web.test_access import Elsewhere


def test_purchases_in_no_currency_say_how_many_months_and_no_more(tmp_path: Path) -> None:
    folder = demo_folder(tmp_path / "shop")
    outlay = folder / "outlay.toml"
    outlay.write_text(re.sub(r"(?m)^currency *=.*$", "", outlay.read_text("utf-8")), "utf-8")
    shop = Elsewhere(folder)
    shop.app.state.keys.set_pin("OP1", "4711")
    shop.pair("lead", person="OP1", pin="4711")
    page = shop.ask("GET", "/before/purchases").text
    shop.close()
    Elsewhere.opened.remove(shop)
    assert "months.</p>" in page
    assert "Amounts in" not in page
