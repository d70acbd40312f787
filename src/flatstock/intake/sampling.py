"""How many flakes to look through, and what a find or none says of the lot."""

from __future__ import annotations

from math import ceil, exp, lgamma, log, log1p

from flatstock.errors import OutOfRange

__all__ = ["sample_mass", "upper_bound", "zero_find_sample"]


def zero_find_sample(*, share: float, confidence: float = 0.95) -> int:
    """Flakes to look through without a find, to be `confidence` sure that the lot holds less than `share` by count.

    n = ln(1 - C) / ln(1 - p), upwards: the binomial with no find. It holds for a well mixed lot, sampled from all
    over; a bag on top of a pile is no sample.

    >>> zero_find_sample(share=0.001)
    2995
    """
    _between(share=share, confidence=confidence)
    return ceil(log1p(-confidence) / log1p(-share) - 1e-9)


def sample_mass(flakes: int, *, flake: float) -> float:
    """What so many flakes weigh [kg]; `flake` of one [kg].

    >>> round(sample_mass(2995, flake=45e-6), 3)
    0.135
    """
    return flakes * flake


def upper_bound(found: int, *, sample: int, confidence: float = 0.95) -> float:
    """The share by count that a lot does not exceed, `confidence` sure, with `found` strangers in `sample` flakes.

    One-sided Clopper-Pearson: the p at which so few finds or fewer have the chance 1 - C. No find:
    1 - (1 - C)^(1/n). Else bisection on the sum of the binomial.

    >>> round(upper_bound(0, sample=2995), 6)
    0.001
    """
    _between(confidence=confidence)
    if not 0 <= found <= sample or sample < 1:
        raise OutOfRange(
            f"{found} found in a sample of {sample}: the sample is larger than the finds, and not empty."
        )
    if found == sample:
        return 1.0
    if found == 0:
        return -(exp(log1p(-confidence) / sample) - 1.0)
    low, high = found / sample, 1.0
    for _ in range(200):
        middle = (low + high) / 2
        if _at_most(found, sample, middle) > 1 - confidence:
            low = middle
        else:
            high = middle
        if high - low < 1e-14:
            break
    return high


def _at_most(k: int, n: int, p: float) -> float:
    """Chance of k finds or fewer."""
    if p >= 1.0:
        return 0.0
    return sum(
        exp(lgamma(n + 1) - lgamma(i + 1) - lgamma(n - i + 1) + i * log(p) + (n - i) * log1p(-p))
        for i in range(k + 1)
    )


def _between(**shares: float) -> None:
    for name, share in shares.items():
        if not 0 < share < 1:
            raise OutOfRange(f"{name} is {share}; it must lie between 0 and 1.")
