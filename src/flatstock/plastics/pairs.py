"""Which plastics may stand in one charge as strangers, and up to what share."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from flatstock.plastics.datafile import read
from flatstock.plastics.model import Plastic
from flatstock.plastics.naming import meant_by
from flatstock.plastics.safety import never_pressed

__all__ = ["PairRule", "pair", "pair_by_name"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PairRule:
    """How much of one plastic the charge of another may hold."""

    share_max: float  #: mass fraction of the charge
    reason: str
    note: str  #: what to do all the same, or a stricter share for some uses
    note_from: float = 0.0  #: share over which the note is worth saying
    kind: str = "assumed"
    source: str = "stranger_choice"


def pair(host: str, stranger: str) -> PairRule:
    """How much of `stranger` a charge of `host` may hold; ids in any case.

    The first rule of `pairs.toml` that names both counts; two names that no rule joins count as
    unidentified plastic. What is never pressed has a share of 0 unless a rule names it.

    >>> pair("hdpe", "pp").share_max
    0.05
    """
    data = read("pairs")
    a, b = host.strip().lower(), stranger.strip().lower()
    if a == b:
        return PairRule(share_max=1.0, reason="the same plastic", note="")
    refusal = never_pressed(b)
    if refusal is not None and refusal.id == "pet":
        b = "pet"  # whatever it is called
    groups = {name: set(members) for name, members in data["groups"].items()}
    for rule in data["rule"]:
        ours, theirs = (
            groups.get(rule["host"], {rule["host"]}),
            groups.get(rule["stranger"], {rule["stranger"]}),
        )
        forward = (a in ours or rule["host"] == "any") and b in theirs
        backward = rule.get("both_ways", False) and b in ours and a in theirs
        if forward or backward:
            return PairRule(
                share_max=rule["share_max"],
                reason=rule["reason"],
                note=rule.get("note", ""),
                note_from=rule.get("note_from", 0.0),
            )
    if refusal is not None and refusal.id != "unidentified":
        return PairRule(share_max=0.0, reason=refusal.reason, note=f"Decides: {refusal.defer_to}.")
    rest = data["unidentified"]
    return PairRule(share_max=rest["share_max"], reason=rest["reason"], note=rest.get("note", ""))


def pair_by_name(host: str, stranger: str, known: Mapping[str, Plastic]) -> PairRule:
    """How much of what is called `stranger` a charge of `host`, an id, may hold.

    A word for several plastics ("PE") counts as that one of them of which a charge may hold least.
    """
    rules = [pair(host, one.like or one.id) for one in meant_by(stranger, known)]
    return min(rules, key=lambda rule: rule.share_max) if rules else pair(host, stranger)
