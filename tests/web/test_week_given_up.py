"""A plan that gives a charge up says on the week's page what to do with its mould."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import httpx

from tests.planning.planted_given_up import lose
from tests.web.conftest import Served, demo_folder


def test_the_week_tells_what_to_do_with_a_mould_that_is_given_up(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_folder(tmp_path / "shop")
    plan = json.loads((folder / "plan.json").read_text())
    lose(plan, sheet="X-07", do=["Heaters of HP2 off now."])
    (folder / "plan.json").write_text(json.dumps(plan))
    page = httpx.get(f"{serve(folder).address}/week", timeout=60).text
    assert "X-07: nobody was there. Heaters of HP2 off now." in page
