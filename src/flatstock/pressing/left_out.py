"""What a wall chart leaves out and why, each reason said once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

__all__ = ["LeftOut", "grouped"]

#: plastic, thickness [m], set-point [°C], and why it is not on the chart
LeftOut = tuple[str, float, float, str]


def grouped(left_out: Iterable[LeftOut]) -> list[str]:
    """A sentence for each plastic and reason; a reason that holds for several plastics is said once.

    >>> grouped([("hdpe", 0.012, 195.0, "no frame fits"), ("hdpe", 0.018, 195.0, "no frame fits")])
    ['HDPE 12 and 18 mm at 195 °C left out: no frame fits.']
    """
    reasons: dict[str, dict[str, list[tuple[float, float]]]] = {}
    for plastic, thickness, set_point, why in dict.fromkeys(left_out):
        reasons.setdefault(why, {}).setdefault(plastic, []).append((thickness, set_point))
    return [f"{_all(plastics)} left out: {why}." for why, plastics in reasons.items()]


def _all(plastics: Mapping[str, list[tuple[float, float]]]) -> str:
    return "; ".join(_one(plastic.upper(), pairs) for plastic, pairs in plastics.items())


def _one(plastic: str, pairs: list[tuple[float, float]]) -> str:
    """Thicknesses and set-points together where every one is there with every other, else each by itself."""
    thicknesses = sorted({thickness for thickness, _ in pairs})
    set_points = sorted({set_point for _, set_point in pairs})
    if len(pairs) == len(thicknesses) * len(set_points):
        return f"{plastic} {_list(f'{t * 1e3:g}' for t in thicknesses)} mm at {_list(f'{s:g}' for s in set_points)} °C"
    return "; ".join(
        f"{plastic} {t * 1e3:g} mm at {_list(f'{s:g}' for u, s in pairs if u == t)} °C" for t in thicknesses
    )


def _list(words: Iterable[str]) -> str:
    """ "6, 12 and 18"."""
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
