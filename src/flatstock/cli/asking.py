"""The questions that start a workshop, asked one by one at a terminal."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import Any

from flatstock.errors import Fault, WrongWords
from flatstock.units import parse_number, parse_quantity
from flatstock.workshop.start import QUESTIONS, Question, StartAnswers

__all__ = ["answer_of", "ask_all"]


def ask_all() -> StartAnswers:
    """Ask every question; Enter takes the usual answer, the end of input takes all that are left."""
    sys.stderr.write("Enter takes the answer in brackets; every answer can be changed in the files later.\n")
    answers = StartAnswers()
    for question in QUESTIONS:
        while True:
            sys.stderr.write(f"{question.text} [{question.default}] ")
            sys.stderr.flush()
            line = sys.stdin.readline()
            if not line:
                sys.stderr.write("\n")
                return answers
            try:
                answers = replace(
                    answers, **{question.field: answer_of(question, line.strip() or question.default)}
                )
                break
            except WrongWords as error:
                sys.stderr.write(f"  {error}\n")
    return answers


def answer_of(question: Question, text: str) -> Any:
    """What the words of an answer stand for, in SI.

    Raises
    ------
    WrongWords
        They don't answer the question.
    """
    wrong = "this answer"
    if question.dimension == "text":
        return text
    if question.dimension == "lengths":
        return tuple(
            parse_quantity(part, "length", where=wrong) for part in text.replace(";", ",").split(", ")
        )
    if question.dimension == "count":
        number = parse_number(text, where=wrong)
        if number != int(number) or number < 1:
            raise WrongWords(Fault(wrong, f"{text!r} is no count", "write 1, 2, 3"))
        return int(number)
    if question.dimension in ("choice", "yes_no"):
        choices = question.choices or ("yes", "no")
        fitting = [choice for choice in choices if choice.startswith(text.lower().replace(" ", "_"))]
        if len(fitting) != 1:
            raise WrongWords(
                Fault(wrong, f"{text!r} is none of the choices", f"write {' or '.join(choices)}")
            )
        return fitting[0] == "yes" if question.dimension == "yes_no" else fitting[0]
    return parse_quantity(text, question.dimension, where=wrong)
