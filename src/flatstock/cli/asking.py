"""The questions that start a workshop, asked one by one at a terminal."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from typing import Any

from flatstock.errors import Fault, Refused, WrongWords
from flatstock.units import parse_number, parse_quantity
from flatstock.workshop.start import QUESTIONS, Question, StartAnswers

__all__ = ["answer_of", "ask_all"]

#: what people say for a choice
OTHER_WORDS = {
    "inches": "us", "inch": "us", "in": "us", "mm": "metric", "millimetres": "metric", "millimeters": "metric",
    "steel": "mild_steel", "aluminum": "aluminium", "stainless": "stainless_steel",
}  # fmt: skip


def ask_all() -> StartAnswers:
    """Ask every question; Enter takes the usual answer.

    Raises
    ------
    Refused
        The input ends (Ctrl-D) before the last answer: nothing is written from half of them.
    """
    sys.stderr.write("Enter takes the answer in brackets; every answer can be changed in the files later.\n")
    answers = StartAnswers()
    for question in QUESTIONS:
        if question.field == "fans" and not answers.cooling_press:
            continue  # there is nothing for them to blow on
        while True:
            sys.stderr.write(f"{question.text} [{question.default}] ")
            sys.stderr.flush()
            line = sys.stdin.readline()
            if not line:
                sys.stderr.write("\n")
                what = "the answers ended before the last question, so nothing was written"
                raise Refused(
                    Fault("flatstock new", what, "start again, or take the usual ones with --defaults")
                )
            try:
                answers = replace(
                    answers,
                    **{question.field: answer_of(question, line.strip() or question.default, answers.units)},
                )
                break
            except WrongWords as error:
                sys.stderr.write(f"  {error}\n")
    return answers


def answer_of(question: Question, text: str, units: str = "us") -> Any:
    """What the words of an answer stand for, in SI.

    A bare number is understood in a metric shop only, in the unit of the answer in brackets, which is metric.

    Raises
    ------
    WrongWords
        They don't answer the question.
    """
    wrong = "this answer"
    metric = units == "metric"
    if question.dimension == "text":
        return text
    if question.dimension == "lengths":
        parts = text.replace(";", ",").split(", ")
        return tuple(
            parse_quantity(_with_unit(part, question) if metric else part, "length", where=wrong)
            for part in parts
        )
    if question.dimension == "count":
        number = parse_number(text, where=wrong)
        if number != int(number) or number < 1:
            raise WrongWords(Fault(wrong, f"{text!r} is no count", "write 1, 2, 3"))
        return int(number)
    if question.dimension in ("choice", "yes_no"):
        choices = question.choices or ("yes", "no")
        word = OTHER_WORDS.get(text.lower(), text.lower()).replace(" ", "_")
        fitting = [choice for choice in choices if choice.startswith(word)]
        if len(fitting) != 1:
            raise WrongWords(
                Fault(wrong, f"{text!r} is none of the choices", f"write {' or '.join(choices)}")
            )
        return fitting[0] == "yes" if question.dimension == "yes_no" else fitting[0]
    return parse_quantity(_with_unit(text, question) if metric else text, question.dimension, where=wrong)


def _with_unit(text: str, question: Question) -> str:
    """A bare number has the unit of the answer in brackets."""
    unit = re.search(r"[^\d.,\s]+$", question.default)
    return text + unit[0] if unit and re.fullmatch(r"\s*[\d.,]+\s*", text) else text
