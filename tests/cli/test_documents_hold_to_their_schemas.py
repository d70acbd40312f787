"""What every command prints under --json is what the published schema of that document says."""

import jsonschema
import pytest

from flatstock.schemas import NAMES, load

CARD = ("--plastic", "hdpe", "--thickness", "12mm")
MONDAY = ("--now", "2026-03-02T07:00")  # on a Friday afternoon a week has no room for its order
CALLS = {
    "new": ("new", "NEW", "--json"),
    "read": ("read", "FOLDER", "--json"),
    "card": ("card", "FOLDER", *CARD, "--json"),
    "frame": ("frame", "FOLDER", "--length", "500mm", "--width", "500mm", "--json"),
    "correct": ("correct", "FOLDER", *CARD, "--charge", "4.02kg", "--measured", "11.82mm", "--json"),
    "stack": ("stack", "FOLDER", "--mould", "HDPE,12mm,09:00", "--at", "12:00", "--json"),
    "wallchart": ("wallchart", "FOLDER", "--json"),
    "room": ("room", "FOLDER", "--first", "--json"),
    "supply": ("supply", "FOLDER", "--json"),
    "outlay": ("outlay", "FOLDER", "--runs", "50", "--json"),
    "plan": ("plan", "FOLDER", *MONDAY, "--seconds", "2", "--json"),
    "promise": ("promise", "FOLDER", *MONDAY, *CARD, "--count", "1", "--seconds", "2", "--json"),
    "refusal": ("card", "FOLDER", "--plastic", "pla", "--thickness", "6mm", "--json"),
}


@pytest.fixture(scope="session")
def mine(tmp_path_factory):
    """A workshop of nobody's answers."""
    from flatstock.workshop.start import usual_answers, write_new

    folder = tmp_path_factory.mktemp("mine") / "shop"
    write_new(folder, usual_answers())
    return folder


@pytest.mark.parametrize("name", CALLS)
def test_a_printed_document_of_a_new_workshop_holds_to_its_schema(call, mine, tmp_path, name):
    words = [{"FOLDER": mine, "NEW": tmp_path / "new"}.get(word, word) for word in CALLS[name]]
    done = call(*words)
    assert done.document["format"] == f"flatstock.{name}/1"
    assert done.code == (1 if name == "refusal" else 0), done.err
    jsonschema.validate(done.document, load(name))


def test_every_schema_is_held_against_a_printed_document():
    assert set(CALLS) == set(NAMES)
