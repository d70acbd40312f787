"""The closing line on what an answer rests on, on the screen and on paper."""

from flatstock.prints.pdf.words import foot
from flatstock.prints.text.closing import closing

MADE = {"made_at": "2026-03-02T07:00:00+00:00"}


def test_an_answer_that_counts_no_evidence_says_nothing_about_it():
    assert closing(MADE) == ["", "Made Mon 2 March 2026, 07:00."]
    assert foot(MADE, bands=False) == "Made Mon 2 March 2026, 07:00."


def test_kinds_of_evidence_are_counted_in_the_order_of_their_worth():
    document = MADE | {"rests_on": {"assumed": 2, "measured": 1}}
    assert closing(document)[1] == "Rests on: 1 measured, 2 assumed."
    assert foot(document, bands=False) == "Made Mon 2 March 2026, 07:00. Rests on: 1 measured, 2 assumed."
