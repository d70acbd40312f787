"""Letters that a terminal lacks: never a traceback, never something that reads as another number."""

from __future__ import annotations

import io
import json
import sys

import pytest

from flatstock.cli import main
from flatstock.cli.called import quoted
from flatstock.cli.streams import plain_letters, prepare

SAID = "195 °C ± 2 K · 5 – 7 mm² │▓░ Süd 板 \udce9"


class Terminal(io.TextIOWrapper):
    """A stream at which a person sits."""

    def isatty(self) -> bool:
        return True


def written(stream: io.TextIOWrapper, text: str) -> bytes:
    prepare(stream)
    stream.write(text)
    stream.flush()
    return stream.buffer.getvalue()


def test_a_file_or_a_pipe_takes_utf_8_whatever_the_machine_would_take_by_itself(monkeypatch):
    monkeypatch.delenv("PYTHONIOENCODING", raising=False)
    said = written(io.TextIOWrapper(io.BytesIO(), encoding="cp1252"), SAID)
    assert said.decode("utf-8") == SAID.replace("\udce9", "?")


def test_a_terminal_of_another_alphabet_keeps_it_and_gets_plain_letters_for_the_rest(monkeypatch):
    monkeypatch.delenv("PYTHONIOENCODING", raising=False)
    said = written(Terminal(io.BytesIO(), encoding="cp1252"), SAID)
    assert said.decode("cp1252") == "195 °C ± 2 K · 5 – 7 mm² |#: Süd ? ?"


def test_an_encoding_that_was_asked_for_is_kept(monkeypatch):
    monkeypatch.setenv("PYTHONIOENCODING", "ascii:strict")
    said = written(io.TextIOWrapper(io.BytesIO(), encoding="ascii", errors="strict"), SAID)
    assert said == b"195 degC +- 2 K . 5 - 7 mm2 |#: Sud ? ?"


def test_every_letter_of_ours_that_stands_beside_a_number_has_a_likeness_in_ascii():
    for letter in "°±×÷·−–≤≥²³½¼⅛µ…─═│└├█▓■░□▲▸◂“”":
        assert "?" not in plain_letters(letter)
        assert plain_letters(letter).isascii()


def test_a_process_without_a_terminal_at_all_is_none_to_prepare():
    prepare(None)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_card_and_its_document_come_out_in_any_alphabet(monkeypatch, encoding, demo_folder):
    monkeypatch.setenv("PYTHONIOENCODING", f"{encoding}:strict")
    said = {}
    for way in ([], ["--json"]):
        stream = io.TextIOWrapper(io.BytesIO(), encoding=encoding, errors="strict")
        monkeypatch.setattr(sys, "stdout", stream)
        assert main(["card", str(demo_folder), "--plastic", "HDPE", "--thickness", "12mm", *way]) == 0
        stream.flush()
        said[bool(way)] = stream.buffer.getvalue().decode(encoding)
    assert json.loads(said[True])["set_point_C"] == 195
    assert ("195 degC" if encoding == "ascii" else "195 °C") in said[False]


@pytest.mark.parametrize(
    ("word", "system", "shown"),
    [
        ("my shop", "posix", "'my shop'"),
        ("it's", "posix", "'it'\"'\"'s'"),
        (r"C:\shops\mine", "nt", r"C:\shops\mine"),
        (r"C:\my shop", "nt", r'"C:\my shop"'),
        (r"C:\nuts&bolts", "nt", r'"C:\nuts&bolts"'),
        ("", "nt", '""'),
    ],
)
def test_a_folder_in_a_call_to_type_next_is_quoted_as_the_machines_shell_takes_it(word, system, shown):
    assert quoted(word, system) == shown
