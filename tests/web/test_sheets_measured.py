"""What a measured sheet tells, with its photograph: the worked story of nine readings."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import httpx
import pytest
from hypothesis import given
from hypothesis import strategies as st
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from flatstock.actions.kept import kept_plan
from flatstock.actions.pictures import MOST_BYTES, checked
from flatstock.actions.practice import noted_by
from flatstock.actions.sheet_quality import quality_of
from flatstock.actions.workshops import open_workshop
from flatstock.errors import Refused
from flatstock.records.store import open_store
from flatstock.running.event import Event
from tests.web.conftest import Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe

NOW = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)
READINGS = (11.62, 11.80, 11.99, 11.74, 11.95, 12.10, 11.85, 12.04, 12.24)  # the worked story, row by row
SHEETS = ("O-104-01", "O-104-02", "O-104-03")


def a_png(wide: int = 40, high: int = 30, *, beside: bytes = b"") -> bytes:
    """A grey picture; `beside` stands in a chunk of text."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)
    rows = zlib.compress(b"".join(b"\0" + b"\x80" * wide for _ in range(high)))
    text = chunk(b"tEXt", beside) if beside else b""
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + text + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def a_jpeg(*, turned: int, beside: bytes = b"") -> bytes:
    """The segments of a JPEG of 40 by 30 pixels; what stands in its scan is never looked at."""
    tiff = b"II*\0\x08\0\0\0\x01\0" + struct.pack("<HHIHH", 274, 3, 1, turned, 0) + b"\0\0\0\0" + beside
    exif = b"Exif\0\0" + tiff
    frame = struct.pack(">BHHB", 8, 30, 40, 1) + b"\x01\x11\0"
    return (
        b"\xff\xd8\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif
        + b"\xff\xc0" + struct.pack(">H", len(frame) + 2) + frame
        + b"\xff\xda\0\x08\x01\x01\0\0\x3f\0" + b"scan" + b"\xff\xd9"
    )  # fmt: skip


def measured(
    sheet: str, readings: tuple[float, ...], minute: int, face: str = "top", edge: str = "front"
) -> Event:
    at = NOW - timedelta(minutes=60 - minute)
    facts: dict[str, str | float] = {f"t{n}_mm": value for n, value in enumerate(readings, 1)}
    facts |= {"face_up": face, "front_edge": edge}
    return Event(id=f"m-{sheet}", at=at, noted_at=at, kind="measured", who=("OP2",), sheet=sheet, facts=facts)


def floor_with(folder: Path, *events: Event) -> Path:
    plan = kept_plan(demo_folder(folder))
    assert plan is not None
    with open_store(folder) as store:
        store.append([*noted_by(plan, NOW), *events])
    return folder


def test_a_sheet_in_tolerance_still_shows_its_wedge_and_the_shims_that_level_the_press(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    """Mean 11.93, corner to corner 0.68 mm, shims 0.46 over 1350 and 0.33 over 950 (the worked story of nine readings)."""
    events = [measured(sheet, READINGS, n) for n, sheet in enumerate(SHEETS)]
    page.goto(f"{serve(floor_with(tmp_path / 'shop', *events), NOW).address}/record/{SHEETS[2]}")
    told = page.locator("#thickness ~ *")
    for said in ("11.93", "0.68", "the platens are not parallel", "0.46 mm over 1350 mm", "0.33 mm over 950 mm",
                 "right end", "back", "isolated and locked"):  # fmt: skip
        expect(told.filter(has_text=said).first).to_be_visible()
    assert faults_by_axe(page) == []


def test_a_record_on_paper_has_what_its_page_has_of_pressing_thickness_and_grade(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    events = [measured(sheet, READINGS, n) for n, sheet in enumerate(SHEETS)]
    served = serve(floor_with(tmp_path / "shop", *events), NOW)
    text = paper_of(served, SHEETS[0])
    for said in ("as sold 1200 × 800 mm", "set-point 195 °C", "dwell 28 min, melted through after", "mould frame F12-1, skins S",
                 "mean thickness 11.93 mm, 11.62 to 12.24 mm", "corner to corner 0.68 mm", "left over beside its plane",
                 "grade by its limits", "point 2 11.80 mm"):  # fmt: skip
        assert said in text


def test_only_a_sheet_that_has_to_rest_says_before_when_it_is_not_to_be_sized(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    """Sheets of O-104 are sold as they come out of the mould, those of O-101 rest for twelve hours."""
    served = serve(floor_with(tmp_path / "shop"), NOW)
    assert "not to be sized before" not in paper_of(served, "O-104-01")
    assert "Not to be sized before" not in httpx.get(f"{served.address}/record/O-104-01", timeout=60).text
    assert "not to be sized before" in paper_of(served, "O-101-01")


def paper_of(served: Served, sheet: str) -> str:
    """The words of its record on paper."""
    made = httpx.get(f"{served.address}/record/{sheet}/paper.pdf", timeout=60).content
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(made)).pages).split())


def test_sheets_that_do_not_agree_are_spreading_and_name_no_shim(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    rows = (READINGS[::-1], tuple(24 - one for one in READINGS), READINGS)
    events = [measured(sheet, row, n) for n, (sheet, row) in enumerate(zip(SHEETS, rows, strict=True))]
    page.goto(f"{serve(floor_with(tmp_path / 'shop', *events), NOW).address}/record/{SHEETS[2]}")
    expect(page.locator("main")).to_contain_text("look at how the flake is spread")
    expect(page.locator("main")).not_to_contain_text("raise the lower platen")


@pytest.mark.parametrize(
    ("face", "edge", "as_read"),
    [
        ("top", "front", (0, 1, 2, 3, 4, 5, 6, 7, 8)),
        ("top", "back", (8, 7, 6, 5, 4, 3, 2, 1, 0)),
        ("bottom", "front", (2, 1, 0, 5, 4, 3, 8, 7, 6)),
        ("top", "left", (6, 3, 0, 7, 4, 1, 8, 5, 2)),
        ("bottom", "right", (8, 5, 2, 7, 4, 1, 6, 3, 0)),
    ],
)
def test_however_a_sheet_was_turned_its_wedge_lies_the_same_in_the_press(
    tmp_path: Path, face: str, edge: str, as_read: tuple[int, ...]
) -> None:
    """The order in which whoever measures meets the press's nine points."""
    shop = open_workshop(demo_folder(tmp_path / "shop", plan=False))
    flat = {f"t{n + 1}_mm": value for n, value in enumerate(READINGS)} | {
        "face_up": "top",
        "front_edge": "front",
    }
    turned = {f"t{n + 1}_mm": READINGS[of] for n, of in enumerate(as_read)} | {
        "face_up": face,
        "front_edge": edge,
    }
    first, second = (quality_of(facts, nominal_mm=12, shop=shop) for facts in (flat, turned))
    assert first is not None
    assert second is not None
    assert second.shim_x == pytest.approx(first.shim_x)
    assert second.shim_y == pytest.approx(first.shim_y)


def test_without_its_lie_told_no_shim_is_named(tmp_path: Path) -> None:
    shop = open_workshop(demo_folder(tmp_path / "shop", plan=False))
    found = quality_of({f"t{n}_mm": value for n, value in enumerate(READINGS, 1)}, nominal_mm=12, shop=shop)
    assert found is not None
    assert found.shim_x is None


def test_a_density_is_told_only_of_a_sheet_whose_own_size_was_measured(tmp_path: Path) -> None:
    shop = open_workshop(demo_folder(tmp_path / "shop", plan=False))
    weighed = {f"t{n}_mm": 12.0 for n in range(1, 10)} | {"mass_kg": 11.45}
    untrimmed = quality_of(weighed, nominal_mm=12, shop=shop)
    sized = quality_of(weighed | {"length_mm": 1222.5, "width_mm": 821.5}, nominal_mm=12, shop=shop)
    assert untrimmed is not None
    assert untrimmed.density is None
    assert sized is not None
    assert sized.density == pytest.approx(950, rel=0.001)


def test_a_photograph_is_kept_with_its_sheet_and_shown(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    served = serve(floor_with(tmp_path / "shop"), NOW)
    page.goto(f"{served.address}/record/{SHEETS[0]}")
    page.locator("input[type=file]").set_input_files(
        {"name": "face.png", "mimeType": "image/png", "buffer": a_png()}
    )
    page.get_by_role("group", name="Who took it").locator("label", has_text="OP2").click()
    page.get_by_role("button", name="Keep it").click()
    shown = page.locator(".shots img")
    expect(shown).to_have_count(1)
    shown.scroll_into_view_if_needed()  # a picture further down is fetched when it comes into view
    expect(shown).to_have_js_property("naturalWidth", 40)
    assert faults_by_axe(page) == []


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<html>",
        b"GIF89a" + b"\0" * 40,
        a_png()[:-9],
        a_png(8, 8),
        a_jpeg(turned=1)[:30],
        b"\xff\xd8\xff",
    ],
)
def test_what_is_no_picture_is_refused_by_its_content(data: bytes) -> None:
    with pytest.raises(Refused):
        checked(data)


def test_a_picture_that_is_too_large_is_refused() -> None:
    with pytest.raises(Refused, match="more than 8"):
        checked(a_png() + b"\0" * MOST_BYTES)


@given(st.binary(max_size=300), st.sampled_from([b"", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"]))
def test_no_bytes_do_anything_but_pass_or_be_refused(data: bytes, head: bytes) -> None:
    with suppress(Refused):
        assert checked(head + data).width >= 16


def test_where_it_was_taken_is_left_out_and_how_it_lies_is_kept() -> None:
    clean = checked(a_jpeg(turned=6, beside=b"GPS 51.5 N")).data
    assert b"GPS" not in clean
    assert b"\x01\x12\0\x03\0\0\0\x01\0\x06" in clean  # tag 274, one short, 6: a quarter turn
    assert b"secret" not in checked(a_png(beside=b"secret\0place")).data


def test_a_photograph_of_another_sheet_is_not_found_under_this_one(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    served = serve(floor_with(tmp_path / "shop"), NOW)
    for name in ("0" * 64, "..%2Fshop.toml", "access.json"):
        assert httpx.get(f"{served.address}/record/{SHEETS[0]}/photo/{name}", timeout=30).status_code == 404
