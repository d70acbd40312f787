"""A number that no workshop can ask with makes the words of a call wrong (2); what this one can't have is refused (1)."""

import pytest

CARD = ("card", "--plastic", "HDPE", "--thickness", "12mm")
CORRECT = ("correct", "--plastic", "HDPE", "--thickness", "12mm")
STACK = ("stack", "--at", "12:00")
PROMISE = ("promise", "--plastic", "HDPE", "--thickness", "12mm")


@pytest.mark.parametrize(
    "words",
    [
        ("card", "--plastic", "HDPE", "--thickness", "0mm"),
        ("card", "--plastic", "HDPE", "--thickness", "900mm"),
        (*CARD, "--set-point", "900C"),
        (*CARD, "--full-pressure", "900h"),
        (*CARD, "--pressure", "0MPa"),
        (*CARD, "--viscosity", "0kPas"),
        (*CARD, "--every", "0min"),
        (*CORRECT, "--charge", "0kg", "--measured", "11mm"),
        (*CORRECT, "--charge", "11kg", "--measured", "0mm"),
        (*CORRECT, "--charge", "11kg", "--measured", "11mm", "--flash", "12kg"),
        (*STACK, "--mould", "HDPE,0mm,09:00"),
        (*STACK, "--mould", "HDPE,12mm,09:00,900C"),
        (*PROMISE, "--count", "0"),
        (*PROMISE, "--count", "1000000"),
        (*PROMISE, "--count", "1", "--seconds", "0"),
        ("plan", "--seconds", "0"),
        ("plan", "--weeks", "0"),
        ("outlay", "--runs", "0"),
        ("outlay", "--seed", "-1"),
        ("outlay", "--measured", "--seconds", "0"),
        ("room", "--seconds", "0"),
        ("room", "--fix", "SAW=0,0,45"),
        ("open", "--port", "0"),
    ],
    ids=" ".join,
)
def test_a_number_that_can_not_be_meant_makes_the_words_wrong(call, demo_folder, words):
    done = call(words[0], demo_folder, *words[1:])
    assert (done.code, done.out) == (2, "")
    assert any(word in done.err for word in words if word.startswith("--"))


@pytest.mark.parametrize(
    "words",
    [
        (*CARD, "--lot", "L-2301", "--pressure", "100MPa"),
        (*CARD, "--press", "HP9"),
        ("supply", "--without", "KETTLE"),
        ("room", "--without", "KETTLE"),
    ],
    ids=" ".join,
)
def test_what_this_workshop_can_not_have_is_refused(call, demo_folder, words):
    assert call(words[0], demo_folder, *words[1:]).code == 1
