"""Folders that are broken as people and machines break them: one clear sentence each, and no fault that follows."""

from __future__ import annotations

import os
import random

import pytest

from flatstock.workshop.csv_rows import read_csv
from flatstock.workshop.files import check
from flatstock.workshop.layouts import layout
from flatstock.workshop.spots import Notes

ANYTHING = random.Random(7).randbytes(3000)


def sentences(folder):
    return [fault.sentence() for fault in check(folder)[1]]


def only(folder):
    found = sentences(folder)
    assert len(found) == 1, found
    return found[0]


def without_title(text):
    lines = text.splitlines(keepends=True)
    del lines[next(n for n, line in enumerate(lines) if not line.startswith("#"))]
    return "".join(lines)


@pytest.mark.parametrize("name", ["lots", "orders", "offcuts"])
def test_a_list_without_its_title_row_is_one_fault(folder, name):
    path = folder / f"{name}.csv"
    path.write_text(without_title(path.read_text("utf-8")), "utf-8")
    said = only(folder)
    assert f"{name}.csv line 2: this is no title row: none of " in said
    assert f"put the row {','.join(layout(name).table.by_name)} above the list" in said


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "mass_kg",
            "weight_kg",
            ["mass_kg: this column is needed, and missing", "weight_kg: no column is called so"],
        ),
        (
            "status",
            "statsu",
            ["status: this column is needed", "no column is called so; the nearest is status"],
        ),
        ("form", "plastic", ["two columns have this name"]),
        ("status", "", ["this column is needed, and missing"]),
    ],
)
def test_a_fault_in_the_title_row_is_told_once_and_not_for_each_line(edit, old, new, said):
    found = sentences(edit("lots.csv", f",{old},", f",{new},"))
    assert len(found) == len(said)
    for piece in said:
        assert any(piece in sentence for sentence in found)


def test_titles_may_be_written_in_capitals(edit):
    assert sentences(edit("lots.csv", "id,plastic,form", "ID,Plastic,Form")) == []


def test_a_column_in_another_unit_is_one_all_the_same():
    notes = Notes()
    rows = read_csv(
        "lots.csv", b"id,plastic,mass_lb,status\nL,hdpe,40,released\n", layout("lots").table, notes
    )
    assert notes.faults == []
    assert rows[0][1]["mass_lb"].value == "40"


def spoil_bytes(name, data):
    return lambda folder: (folder / name).write_bytes(data)


def spoil_text(name, old, new):
    return lambda folder: (folder / name).write_bytes((folder / name).read_bytes().replace(old, new, 1))


def as_folder(name):
    return lambda folder: ((folder / name).unlink(), (folder / name).mkdir())


def linked(name):
    return lambda folder: ((folder / name).unlink(), (folder / name).symlink_to("nowhere"))


def large(name):
    def spoil(folder):
        with (folder / name).open("r+b") as file:
            file.truncate(200_000_000)  # a hole: no byte of it is on the disk

    return spoil


def encoded(name, encoding):
    return lambda folder: (folder / name).write_bytes((folder / name).read_text("utf-8").encode(encoding))


BROKEN = {
    "UTF-16 shop": (encoded("shop.toml", "utf-16"), 'shop.toml: this is UTF-16 text ("Unicode" in some editors)'),
    "UTF-16 shop without mark": (encoded("shop.toml", "utf-16-le"), "shop.toml: this is no text"),
    "UTF-16 list without mark": (encoded("lots.csv", "utf-16-be"), "UTF-16 text without its mark"),
    "UTF-32 shop": (encoded("shop.toml", "utf-32"), "this is UTF-32 text"),
    "Latin-1 shop": (spoil_text("shop.toml", b"Lower", b"L\xf6wer"), "byte 0xf6 is not UTF-8 text; save the file as UTF-8"),
    "shop is a folder": (as_folder("shop.toml"), "shop.toml: this is a folder, where a file should be"),
    "lots are a folder": (as_folder("lots.csv"), "lots.csv: this is a folder, where a file should be"),
    "shop is a dangling link": (linked("shop.toml"), "shop.toml: it is a link to a file that is not there"),
    "supply is a dangling link": (linked("supply.toml"), "supply.toml: it is a link to a file that is not there"),
    "shop is junk": (spoil_bytes("shop.toml", ANYTHING), "shop.toml: this is no text"),
    "lots are junk": (spoil_bytes("lots.csv", ANYTHING), "lots.csv: this is no text"),
    "orders are a spreadsheet": (spoil_bytes("orders.csv", b"PK\x03\x04" + ANYTHING), "this is a spreadsheet or an archive by"),
    "orders are a picture": (spoil_bytes("orders.csv", b"\x89PNG" + ANYTHING), "this is a picture by another name"),
    "a zero byte in shop": (spoil_text("shop.toml", b"Lower", b"Lo\0wer"), "shop.toml line 5: there are zero bytes here"),
    "a zero byte in lots": (spoil_text("lots.csv", b"caps", b"ca\0ps"), "lots.csv line 3: there are zero bytes here"),
    "200 MB of shop": (large("shop.toml"), "the file has 200 MB, and no file of a workshop is so large"),
    "200 MB of lots": (large("lots.csv"), "the file has 200 MB"),
    "lots are empty": (spoil_bytes("lots.csv", b""), "lots.csv: the file is empty; begin with the row id,plastic"),
    "lots are gone": (lambda folder: (folder / "lots.csv").unlink(), "no lot is on file, and 10 lines of orders and offcuts"),
    "lots with strokes": (
        lambda folder: (folder / "lots.csv").write_text("id|plastic|mass_kg|status\nL-1|hdpe|40|released\n", "utf-8"),
        "no title row: there are no commas, semicolons or tabs",
    ),
    "an open quotation mark": (spoil_text("lots.csv", b"caps", b'"caps'), "close every quotation mark"),
    "the same key twice": (spoil_text("shop.toml", b"units =", b'units = "us"\nunits ='), "the same key or table stands here twice"),
    "curly quotation marks": (spoil_text("shop.toml", b'"metric"', "“metric”".encode()), "the quotation marks are curly"),
    "a decimal comma": (spoil_text("shop.toml", b"daylight_mm = 180", b"daylight_mm = 180,5"), 'as in "180,5"'),
    "a bare unit": (spoil_text("shop.toml", b"daylight_mm = 180", b"daylight_mm = 180 mm"), 'as in "180 mm"'),
    "a colon": (spoil_text("shop.toml", b"daylight_mm = 180", b"daylight_mm: 180"), "a colon stands where = should"),
    "bare words": (spoil_text("shop.toml", b'control = "on_off"', b"control = on_off"), "text has no quotation marks"),
    "nothing behind =": (spoil_text("shop.toml", b"daylight_mm = 180\n", b"daylight_mm =\n"), "nothing stands behind the ="),
    "one bracket": (spoil_text("shop.toml", b"[[hot_presses]]", b"[hot_presses]"), "start it with the line [[hot_presses]]"),
    "5000 digits over 3": (
        spoil_text("shop.toml", b"daylight_mm = 180", b'daylight_mm = "' + b"9" * 5000 + b'/3 in"'),
        "daylight_mm: the number has too many digits to be a measure",
    ),
    "20000 brackets": (
        spoil_text("shop.toml", b'"metric"', b"[" * 20000 + b"]" * 20000),
        "shop.toml line 7: more brackets are open here than any file needs",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("spoil", "said"), BROKEN.values(), ids=list(BROKEN))
def test_what_is_broken_is_one_sentence_and_nothing_follows_from_it(folder, spoil, said):
    spoil(folder)
    assert said in only(folder)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name on this system")
@pytest.mark.parametrize("name", ["shop.toml", "supply.toml", "lots.csv"])
def test_a_pipe_in_the_place_of_a_file_is_not_waited_for(folder, name):
    (folder / name).unlink()
    os.mkfifo(folder / name)
    assert f"{name}: this is no plain file" in only(folder)


def test_own_plastics_that_cannot_be_read_are_no_fault_of_those_who_use_them(edit):
    folder = edit("orders.csv", ",hdpe,", ",shop_blend,")
    (folder / "plastics.toml").write_text("[shop_blend\n", "utf-8")
    assert only(folder).startswith("plastics.toml line 1")


@pytest.mark.parametrize(
    ("due", "said"),
    [
        ("06.03.2026", "write 2026-03-06T12:00"),
        ("2026/03/06", "write 2026-03-06T12:00"),
        ("2026-3-6", "write 2026-03-06T12:00"),
        ("46087", "write 2026-03-06T12:00"),  # as a spreadsheet counts days from 30 December 1899
        ("3/6/2026", "write year-month-day, as in 2026-03-06T12:00"),  # two days may be meant
        ("31.02.2026", "there is no such day"),
    ],
)
def test_a_date_in_another_form_is_told_with_the_form_that_is_read(edit, due, said):
    assert said in only(edit("orders.csv", "2026-03-06T12:00", due))


@pytest.mark.parametrize("name", ["with spaces", "Wérkstätte ü", "two\nlines"])
def test_a_folder_may_have_any_name(folder, name):
    other = folder.with_name(name)
    folder.rename(other)
    assert sentences(other) == []
