"""What the data of faults must be like."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from flatstock.plastics.safety import rules
from flatstock.quality.faults.guide import OTHER, guide
from flatstock.quality.faults.splitting import splits

SOURCES = (Path(__file__).parents[3] / "docs" / "sources.md").read_text("utf-8")
KINDS = {"common_practice", "read", "second_hand", "from_memory", "computed"}


def test_every_cause_of_a_fault_is_told_of_and_every_cause_belongs_to_one() -> None:
    used = {cause for fault in guide().faults.values() for cause in fault.odds}
    assert used == set(guide().causes)


def test_every_line_says_how_it_is_known_and_names_a_source_where_there_is_one() -> None:
    for one in [*guide().causes.values(), *(q for f in guide().faults.values() for q in f.questions)]:
        assert one.kind in KINDS, one.id
        if one.kind != "common_practice":
            assert one.source, one.id
        for word in one.source.replace(":", " ").replace(",", " ").replace(";", " ").split():
            if "_" in word:
                assert f"`{word}`" in SOURCES, (one.id, word)


@pytest.mark.parametrize("name", sorted(guide().faults))
def test_every_question_of_a_fault_tells_its_causes_apart(name: str) -> None:
    fault = guide().faults[name]
    for one in fault.questions:
        chances = [one.chance("yes", cause) for cause in fault.odds if cause != OTHER]
        assert max(chances) - min(chances) >= 0.2, one.id


@pytest.mark.parametrize("name", sorted(guide().faults))
def test_the_first_question_of_a_fault_may_change_the_order(name: str) -> None:
    fault = guide().faults[name]
    best = splits(fault, ())
    assert best
    assert any(split.first["yes"] != split.first["no"] for split in best)


def test_pictures_lead_to_faults_and_show_answers_of_theirs() -> None:
    for picture in guide().pictures.values():
        asked = {one.id for one in guide().faults[picture.fault].questions}
        assert set(picture.shows) <= asked
    shown = Counter(picture.fault for picture in guide().pictures.values())
    assert set(shown) == set(guide().faults)


def test_a_likelihood_names_only_causes_of_a_fault_that_asks_it() -> None:
    for fault in guide().faults.values():
        for question in fault.questions:
            known = {
                cause for one in guide().faults.values() if question in one.questions for cause in one.odds
            }
            assert set(question.likely) <= known, question.id


def test_cautions_are_topics_of_the_safety_list() -> None:
    topics = {one.topic for one in rules().cautions}
    for fault in guide().faults.values():
        for question in fault.questions:
            assert set(question.cautions) <= topics, question.id
    for cause in guide().causes.values():
        assert set(cause.cautions) <= topics, cause.id
        if "platen" in cause.remedy.lower() and "ram propped" in cause.remedy:
            assert "inside_press" in cause.cautions, cause.id


def test_what_may_gas_the_room_says_first_what_to_do() -> None:
    for name in ("pvc", "overheated"):
        first = " ".join(guide().causes[name].first)
        assert "Extract" in first
        assert "Nobody smells it" in first
        assert guide().causes[name].defer_to
    assert guide().faults["acrid"].danger
