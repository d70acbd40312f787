"""Photographs of sheets: bounded, of known kinds by their own bytes, kept once, and gone from view when undone."""

from __future__ import annotations

import pytest

from flatstock.actions.photos import MOST, keep_photo, photo, photos
from flatstock.errors import Refused
from flatstock.records import Store
from tests.records.some import MONDAY, an_event

JPEG = b"\xff\xd8\xff\xe0" + b"x" * 200
PNG = b"\x89PNG\r\n\x1a\n" + b"y" * 50
WEBP = b"RIFF\x10\x00\x00\x00WEBPVP8 "


@pytest.mark.parametrize(("data", "kind"), [(JPEG, "image/jpeg"), (PNG, "image/png"), (WEBP, "image/webp")])
def test_a_photograph_comes_back_as_it_was_with_who_and_when(store: Store, data: bytes, kind: str):
    event = keep_photo(store, "B-1", data, at=MONDAY, who=["OP1"], of="a pit")
    (note,) = photos(store, "B-1")
    assert (note.event, note.at, note.who, note.of) == (event.id, MONDAY, ("OP1",), "a pit")
    assert photo(store, note.key) == (kind, data)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"<svg onload='x'/>", "no picture that is kept"),
        (b"", "no picture"),
        (JPEG + b"x" * MOST, "MB, more than 8"),
    ],
)
def test_what_is_no_photograph_or_too_large_is_refused_and_nothing_is_kept(
    store: Store, data: bytes, said: str
):
    with pytest.raises(Refused, match=said):
        keep_photo(store, "B-1", data, at=MONDAY, who=["OP1"])
    assert (store.last(), photos(store, "B-1")) == (0, [])


def test_the_same_photograph_of_two_sheets_is_kept_once(store: Store):
    keep_photo(store, "B-1", JPEG, at=MONDAY, who=["OP1"])
    keep_photo(store, "B-2", JPEG, at=MONDAY, who=["OP1"])
    assert photos(store, "B-1")[0].key == photos(store, "B-2")[0].key


def test_a_photograph_of_the_wrong_sheet_is_taken_back(store: Store):
    event = keep_photo(store, "B-1", JPEG, at=MONDAY, who=["OP1"])
    store.append([an_event("u", kind="undone", sheet=None, place=None, facts={}, corrects=event.id)])
    assert photos(store, "B-1") == []


def test_there_is_no_photograph_under_a_key_that_nobody_kept(store: Store):
    assert photo(store, "0" * 64) is None
