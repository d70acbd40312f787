"""What `read` found, in a terminal."""

from flatstock.prints.shown import Shown
from flatstock.prints.text import read_text


def test_what_was_found_is_listed_and_what_is_not_there_is_left_out(sample):
    found = sample("read") | {"counts": {"frames": 8, "lots": 9, "racks": 0}, "warnings": ["L-1 is wet."]}
    text = read_text(found)
    assert "frames" in text
    assert "racks" not in text
    assert "! L-1 is wet." in text
    assert max(map(len, text.splitlines())) <= 80


def test_the_shops_own_plastics_are_named_with_what_they_are(sample):
    own = [
        {"plastic": "hdpe", "on_file": True, "values": 3},
        {"plastic": "tubs", "on_file": False, "values": 1},
    ]
    text = read_text(sample("read") | {"plastics": own})
    assert "hdpe  3 values of this shop in place of the library's" in text
    assert "tubs  added here, 1 value" in text


def test_what_is_worth_knowing_is_said_in_the_shops_units(sample):
    said = ["orders.csv line 3: no frame makes 25 mm"]
    assert "no frame makes 0.98 in" in read_text(sample("read") | {"warnings": said}, Shown("us"))
