"""Causes of a fault, likeliest first: odds before, times the likelihood of each thing that was found (Bayes' rule).

    w(c) = odds(c) · Π P(answer | c)^weight        share(c) = w(c) / Σ w

The sum of logarithms is rounded once (`math.fsum`), so that the order in which things were found changes nothing.
Things found are taken as independent, given the cause; docs/faults.md says how far that holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import exp, fsum, log

from flatstock.errors import OutOfRange
from flatstock.quality.faults.guide import Answer, Fault, Question

__all__ = ["CLEAN", "Factor", "Found", "Proof", "Ranked", "chance_of", "rank", "settled", "shares"]

#: P(next sheet clean | its remedy meets the cause), and where it meets another one; assumed
CLEAN = (0.95, 0.25)
SETTLED = 0.75  #: a share from which on a cause counts as found; our own figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """An answer to a question; `weight` 1 for what was tried, less for what was read from the records."""

    question: str
    answer: Answer
    weight: float = 1.0
    where: str = ""  #: how it is known, in words


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What the sheet after a remedy was like."""

    cause: str  #: that the remedy was for
    clean: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """One thing found, and how likely it is with a cause."""

    words: str
    likelihood: float  #: P(found | cause), before its weight
    weight: float
    where: str
    times: float  #: by how much the cause's odds against the average of all causes change


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """One cause with its share and what makes it."""

    cause: str
    odds: float  #: before
    share: float  #: after, 0 to 1
    factors: tuple[Factor, ...]


def rank(fault: Fault, found: Iterable[Found], proofs: Iterable[Proof] = ()) -> tuple[Ranked, ...]:
    """Every cause of a fault, likeliest first; of equals the one that stands first in the data.

    Of two answers to one question the heavier counts, of equals the later: something tried stands in the place of
    what was read. Answers to questions that do not tell this fault's causes apart change nothing.

    Raises
    ------
    OutOfRange
        A weight outside 0 to 1.
    """
    known = _one_each(fault, found)
    tested = tuple(proofs)
    share = shares(fault, known.values(), tested)
    before = {cause: odds / sum(fault.odds.values()) for cause, odds in fault.odds.items()}
    listed = [
        Ranked(
            cause=cause,
            odds=odds,
            share=share[cause],
            factors=tuple(_factors(fault, cause, known, tested, before)),
        )
        for cause, odds in fault.odds.items()
    ]
    return tuple(sorted(listed, key=lambda one: -one.share))


def shares(fault: Fault, found: Iterable[Found], proofs: Iterable[Proof] = ()) -> dict[str, float]:
    """Each cause's share."""
    known, tested = _one_each(fault, found), tuple(proofs)
    asked = {one.id: one for one in fault.questions}
    weight = {
        cause: fsum(
            [
                log(odds),
                *(one.weight * log(asked[one.question].chance(one.answer, cause)) for one in known.values()),
                *(log(_clean(proof, cause)) for proof in tested),
            ]
        )
        for cause, odds in fault.odds.items()
    }
    most = max(weight.values())
    relative = {cause: exp(one - most) for cause, one in weight.items()}
    whole = fsum(relative.values())
    return {cause: one / whole for cause, one in relative.items()}


def settled(ranked: tuple[Ranked, ...]) -> bool:
    """Whether the first cause stands out."""
    return ranked[0].share >= SETTLED


def _one_each(fault: Fault, found: Iterable[Found]) -> dict[str, Found]:
    asked = {one.id for one in fault.questions}
    known: dict[str, Found] = {}
    for one in found:
        if not 0 <= one.weight <= 1:
            raise OutOfRange(f"the weight of {one.question} is {one.weight}: from 0 to 1 is meant.")
        before = known.get(one.question)
        if one.question in asked and (before is None or one.weight >= before.weight):
            known[one.question] = one
    return known


def _factors(
    fault: Fault,
    cause: str,
    known: Mapping[str, Found],
    proofs: Iterable[Proof],
    before: Mapping[str, float],
) -> Iterable[Factor]:
    asked = {one.id: one for one in fault.questions}
    for one in known.values():
        question = asked[one.question]
        mine = question.chance(one.answer, cause)
        usual = fsum(part * question.chance(one.answer, other) for other, part in before.items())
        yield Factor(
            words=f"{question.ask}: {question.words(one.answer)}",
            likelihood=mine,
            weight=one.weight,
            where=one.where,
            times=(mine / usual) ** one.weight,
        )
    for proof in proofs:
        mine = _clean(proof, cause)
        usual = fsum(part * _clean(proof, other) for other, part in before.items())
        yield Factor(
            words=f"Next sheet with the remedy for {proof.cause.replace('_', ' ')}: "
            + ("clean" if proof.clean else "not clean"),
            likelihood=mine,
            weight=1.0,
            where="the sheet after the remedy",
            times=mine / usual,
        )


def _clean(proof: Proof, cause: str) -> float:
    chance = CLEAN[0] if cause == proof.cause else CLEAN[1]
    return chance if proof.clean else 1.0 - chance


def chance_of(question: Question, answer: Answer, share: Mapping[str, float]) -> float:
    """P(answer) by the shares as they stand."""
    return fsum(part * question.chance(answer, cause) for cause, part in share.items())
