"""The test that tells the causes apart best for what it costs: expected information for each minute.

    H = − Σ share(c) · log₂ share(c)        gain = H − Σ P(answer) · H(after the answer)        [bits]
    minutes = hands + WAIT · wait           the best test has the most gain for each minute

A question whose answers would bring different causes to the top goes before one that leaves the first where it is.

Shannon's entropy; the expected gain is never negative (it is the mutual information of cause and answer).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import log2

from flatstock.quality.faults.guide import Answer, Fault, Question
from flatstock.quality.faults.ranking import Found, Proof, chance_of, shares

__all__ = ["Split", "entropy", "splits"]

WAIT = 0.1  #: a minute of waiting against a minute of somebody's hands; assumed
LEAST = 0.01  #: bits below which a question tells nothing worth asking; our own figure
_ANSWERS: tuple[Answer, Answer] = ("yes", "no")


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """What a question would tell."""

    question: Question
    gain: float  #: [bits]
    minutes: float  #: of people's time, waiting counted as a part
    first: Mapping[Answer, str]  #: the cause that would stand first after each answer

    @property
    def decides(self) -> bool:
        """Whether its answer may change which cause is first."""
        return self.first["yes"] != self.first["no"]


def entropy(share: Mapping[str, float]) -> float:
    """Of shares that add up to 1 [bits].

    >>> entropy({"a": 0.5, "b": 0.5})
    1.0
    """
    return -sum(one * log2(one) for one in share.values() if one > 0)


def splits(
    fault: Fault, found: Iterable[Found], proofs: Iterable[Proof] = (), *, passed: Iterable[str] = ()
) -> tuple[Split, ...]:
    """Questions that are open, the best first; `passed` were said to be not tried: last.

    A question that the records answer stays open where what is read counts for less than a test.
    """
    known, tested, later = tuple(found), tuple(proofs), frozenset(passed)
    sure = {one.question for one in known if one.weight >= 1}
    listed = []
    for question in fault.questions:
        if question.id in sure:
            continue
        rest = [one for one in known if one.question != question.id]
        split = _split(fault, question, rest, tested)
        if split.gain >= LEAST:
            listed.append(split)
    return tuple(
        sorted(listed, key=lambda one: (one.question.id in later, not one.decides, -one.gain / one.minutes))
    )


def _split(fault: Fault, question: Question, found: list[Found], proofs: tuple[Proof, ...]) -> Split:
    now = shares(fault, found, proofs)
    after = {
        answer: shares(fault, [*found, Found(question=question.id, answer=answer)], proofs)
        for answer in _ANSWERS
    }
    gain = entropy(now) - sum(
        chance_of(question, answer, now) * entropy(after[answer]) for answer in _ANSWERS
    )
    return Split(
        question=question,
        gain=gain,
        minutes=max(question.hands + WAIT * question.wait, 1.0),
        first={answer: max(after[answer], key=lambda one: after[answer][one]) for answer in _ANSWERS},
    )
