"""The HTTP interface, fuzzed from its own schema: whatever is sent, no answer is a 500."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import httpx
import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error

from tests.web.conftest import Served, demo_folder


@pytest.fixture(scope="module")
def open_app(tmp_path_factory: pytest.TempPathFactory, serve_module: Callable[..., Served]) -> Served:
    """An app of its own: what is sent may change its workshop."""
    return serve_module(demo_folder(tmp_path_factory.mktemp("fuzzed") / "shop"))


@pytest.fixture(scope="module")
def interface(open_app: Served) -> Any:
    schema = schemathesis.openapi.from_dict(open_app.app.openapi())
    schema.config.update(base_url=open_app.address)
    return schema.exclude(path="/floor/live").exclude(
        path="/week/plan"
    )  # a stream; forty seconds of planning


def test_no_call_of_the_schema_is_answered_by_a_500(interface: Any) -> None:
    asked = 0
    for found in interface.get_all_operations():
        operation = found.ok()

        @settings(
            max_examples=5,
            deadline=None,
            derandomize=True,
            suppress_health_check=list(HealthCheck),
            phases=[Phase.explicit, Phase.generate],
        )
        @given(case=operation.as_strategy())
        def ask(case: Any) -> None:
            nonlocal asked
            asked += 1
            case.call_and_validate(checks=[not_a_server_error], timeout=60)

        ask()
    assert asked > 100


ANY = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=10), inner, max_size=4),
    max_leaves=12,
)
EVENT = st.fixed_dictionaries(
    {},
    optional={
        "id": st.text(max_size=12),
        "at": st.sampled_from(["2026-03-02T09:00:00+00:00", "2026-03-02T09:00:00", "never", ""]) | ANY,
        "noted_at": st.sampled_from(
            ["2026-03-02T09:00:00+00:00", "9999-12-31T23:59:59+00:00", "0001-01-01T00:00:00+14:00"]
        ),
        "kind": st.sampled_from(
            ["loaded", "transferred", "moved", "weighed", "smoke", "undone", "corrected", "x"]
        ),
        "who": st.lists(st.sampled_from(["OP1", "OP2", "", "V1"]), max_size=3) | ANY,
        "sheet": st.sampled_from(["O-104-01", "O-101-01", "\0", "x" * 300, None]),
        "place": st.sampled_from(["HP1", "CP1", "ST1", "nowhere", None]) | ANY,
        "facts": st.dictionaries(
            st.sampled_from(["lot", "mass_kg", "lift", "temperature_C"]), ANY, max_size=3
        )
        | ANY,
        "corrects": st.none() | st.text(max_size=5),
        "why": st.none() | st.text(max_size=5),
        "device": st.none() | st.text(max_size=5),
    },
)


@settings(max_examples=80, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(taps=st.lists(EVENT, max_size=3) | ANY)
def test_no_tap_is_answered_by_a_500(open_app: Served, taps: Any) -> None:
    body = json.dumps(taps).encode()
    answer = httpx.post(f"{open_app.address}/floor/taps", content=body, timeout=60)
    assert answer.status_code < 500, answer.text


@settings(max_examples=25, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(
    name=st.sampled_from(
        ["shop", "lots", "orders", "room", "supply", "plastics", "outlay", "offcuts", "x", ""]
    ),
    said=st.dictionaries(
        st.sampled_from(["_at", "_of", "_do", "id", "plastic", "heading", "thickness_mm", "dwell", "sheets"]),
        st.sampled_from(
            [
                "",
                "0",
                "3",
                "-1",
                "frames",
                "hot_presses",
                "away",
                "[",
                "{ x",
                "1e999",
                "\x00",
                "'''",
                '"""',
                "é\n",
            ]
        )
        | st.text(max_size=10),
        max_size=5,
    ),
)
def test_no_form_is_answered_by_a_500(open_app: Served, name: str, said: dict[str, str]) -> None:
    encodable = {key: value.encode("utf-8", "replace").decode() for key, value in said.items()}
    answer = httpx.post(f"{open_app.address}/shop/part/{name}/form", data=encodable, timeout=60)
    assert answer.status_code < 500, answer.text


def test_after_all_that_the_workshop_can_still_be_read(open_app: Served) -> None:
    folder = Path(open_app.app.state.place.folder)
    assert (folder / "shop.toml").exists()
    assert httpx.get(f"{open_app.address}/orders", timeout=60).status_code == 200
