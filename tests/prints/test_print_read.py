"""What `read` found, in a terminal."""

from flatstock.prints.text import read_text


def test_what_was_found_is_listed_and_what_is_not_there_is_left_out(sample):
    found = sample("read") | {"counts": {"frames": 8, "lots": 9, "racks": 0}, "warnings": ["L-1 is wet."]}
    text = read_text(found)
    assert "frames" in text
    assert "racks" not in text
    assert "! L-1 is wet." in text
    assert max(map(len, text.splitlines())) <= 80
