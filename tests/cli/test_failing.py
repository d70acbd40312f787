"""No traceback ever reaches a person."""

import re
from pathlib import Path

import pytest

from flatstock.cli import app as module
from flatstock.errors import Fault, OutOfRange, Refused


@pytest.fixture
def failing(monkeypatch, call):
    """A call of `read` that runs into an error."""

    def run(error, *words):
        def read_workshop(folder):
            raise error

        monkeypatch.setattr("flatstock.actions.workshops.read_workshop", read_workshop)
        return call("read", "somewhere", *words)

    return run


def test_an_error_nobody_foresaw_is_one_sentence_and_a_report(failing, tmp_path, monkeypatch):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    done = failing(ZeroDivisionError("deep inside"))
    assert (done.code, done.out) == (1, "")
    assert len(done.err.splitlines()) == 1
    report = Path(re.search(r"stands in (\S+\.txt)", done.err)[1])
    assert report.parent == tmp_path
    text = report.read_text(encoding="utf-8")
    assert text.startswith("flatstock read somewhere\n")
    assert "Traceback" in text
    assert "deep inside" in text


def test_every_fault_is_a_sentence_of_its_own(failing):
    done = failing(Refused([Fault("a.toml line 1", "it is so", "make it thus"), Fault("", "and so", "")]))
    assert done.code == 1
    assert done.err.splitlines() == ["a.toml line 1: it is so; make it thus.", "and so."]


def test_a_refusal_is_a_document_under_json(failing):
    done = failing(Refused(Fault("x", "it is so", "make it thus")), "--json")
    assert (done.code, done.err) == (1, "")
    assert done.document["format"] == "flatstock.refusal/1"
    assert done.document["faults"] == [{"what": "it is so", "where": "x", "instead": "make it thus"}]


def test_a_question_outside_the_model_is_told_as_such(failing):
    done = failing(OutOfRange("thickness 9 m"))
    assert (done.code, len(done.err.splitlines())) == (1, 1)
    assert "outside what the model holds for: thickness 9 m" in done.err


def test_an_interrupted_call_ends_cleanly(failing):
    done = failing(KeyboardInterrupt())
    assert (done.code, done.err) == (130, "Stopped.\n")


def test_the_app_offers_nothing_but_what_works():
    assert {name for name in module.app if not name.startswith("-")} == {
        "card", "correct", "demo", "frame", "new", "open", "outlay", "plan", "promise", "read", "records", "room", "stack",
        "supply", "wallchart",
    }  # fmt: skip
