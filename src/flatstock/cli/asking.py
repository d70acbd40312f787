"""The questions that start a workshop: one by one at a terminal, or their answers from the input."""

from __future__ import annotations

import os
import select
import sys
from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from typing import TextIO

from flatstock.cli.answers import answer_of
from flatstock.cli.sense import senseless
from flatstock.errors import Fault, Refused, WrongWords
from flatstock.workshop.start import StartAnswers
from flatstock.workshop.start_questions import QUESTIONS, usual_answer

__all__ = ["anybody_there", "ask_all"]

#: what is wrong with a workshop of these answers
Judge = Callable[[StartAnswers], Sequence[Fault]]
WAIT = 3.0  #: for the first answer from the input of another program [s]
FIRST = "Enter takes the answer in brackets; every answer can be changed in the files later. Ctrl-C writes nothing.\n"
LAND_IN_INCHES = 0.03175  #: rim of a frame where inches are read, which nobody is asked about: 1 1/4 in [m]
SKIN_IN_INCHES = 0.0015875  #: the same of a skin: 1/16 in [m]


def anybody_there(stream: TextIO | None) -> bool:
    """Whether answers are to be had: from a terminal, or from another program that writes within three seconds."""
    if stream is None or stream.closed:
        return False
    try:
        if stream.isatty() or os.name == "nt":  # Windows can't look into a pipe without reading it
            return True
        ready, _, _ = select.select([stream.fileno()], [], [], WAIT)
        return bool(ready)
    except (OSError, ValueError):  # no file behind it
        return True


def ask_all(judge: Judge = lambda _: ()) -> StartAnswers:
    """Ask every question; an empty line takes the usual answer, which then counts as assumed.

    At a terminal an answer that can't be is asked for again at once. Answers from another program are refused at
    the first that can't be; none at all stand for the usual ones.

    Raises
    ------
    Refused
        The input ends before the last answer, or an answer from another program can't be: nothing is written.
    """
    terminal = sys.stdin.isatty()
    if terminal:
        sys.stderr.write(FIRST)
    answered: set[str] = set()
    answers = _with_assumed(StartAnswers(), answered)
    for number, question in enumerate(QUESTIONS):
        usual = usual_answer(question, answers)
        words = question.words(answers.units)
        while True:
            if terminal:
                sys.stderr.write(f"{words} [{usual}] ")
                sys.stderr.flush()
            line = _line()
            if not line and not number and not terminal:
                return _with_usual(answers)
            if not line:
                raise _ended(words, terminal)
            try:
                given = answer_of(question, line.strip() or usual, units=answers.units, usual=usual)
                more = set(question.fields) if line.strip() else set()
                tried = _with_assumed(replace(answers, **given), answered | more)
                _must_make_sense(tried, question.fields, judge)
            except WrongWords as error:
                said = error.faults[0].sentence()
                if not terminal:
                    where = f"answer {number + 1} ({words})"
                    raise Refused(Fault(where, said.rstrip("."), "nothing was written")) from None
                sys.stderr.write(f"  {said}\n")
                continue
            answers, answered = tried, answered | more
            break
    return answers


def _line() -> str:
    try:
        return sys.stdin.readline()
    except UnicodeDecodeError:
        raise Refused(Fault("", "the answers are not UTF-8 text", "nothing was written")) from None
    except OSError:  # the terminal is gone
        return ""
    except KeyboardInterrupt:
        sys.stderr.write("\nNothing was written. ")
        raise


def _must_make_sense(answers: StartAnswers, asked: Sequence[str], judge: Judge) -> None:
    """What comes later has its usual answer, which follows from those before: what is wrong is this answer."""
    sentence = senseless(answers, asked)
    if sentence is not None:
        raise WrongWords(sentence)
    if faults := judge(_with_usual(answers, after=asked)):
        raise WrongWords(Fault("", faults[0].what, faults[0].instead))


def _with_usual(answers: StartAnswers, *, after: Sequence[str] = ()) -> StartAnswers:
    """The usual answers to every question, or to those after the one that fills the fields `after`."""
    begin = next((n + 1 for n, q in enumerate(QUESTIONS) if tuple(q.fields) == tuple(after)), 0)
    for question in QUESTIONS[begin:]:
        usual = usual_answer(question, answers)
        given = answer_of(question, usual, units=answers.units, usual=usual)
        answers = replace(answers, **given)
    return answers


def _with_assumed(answers: StartAnswers, answered: set[str]) -> StartAnswers:
    names = {f.name for f in fields(StartAnswers)} - {"assumed"}
    answers = replace(answers, assumed=frozenset(names - answered))
    if answers.units == "us":
        return replace(answers, frame_land=LAND_IN_INCHES, skin_thickness=SKIN_IN_INCHES)
    return answers


def _ended(text: str, terminal: bool) -> Refused:
    if terminal:
        sys.stderr.write("\n")
    what = f"the answers ended before {text!r}, so nothing was written"
    instead = "start again, or take the usual ones with --defaults"
    return Refused(Fault("flatstock new", what, instead))
