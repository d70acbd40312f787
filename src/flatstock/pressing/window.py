"""Whether there is any dwell that melts the core and spares the face; where there is none, what would make one."""

from __future__ import annotations

from dataclasses import replace

from flatstock.errors import Fault, UserError
from flatstock.pressing.card_numbers import MINUTE, Card
from flatstock.pressing.setting import set_out

__all__ = ["no_window"]

STEP = 5.0  #: K between the set-points that are tried
TRIED = 4  #: set-points each way


def no_window(card: Card) -> list[Fault]:
    """A fault where the face has had enough before core, breathing and full pressure are done; else nothing."""
    latest, dwell = card.heating.dwell_latest, card.heating.dwell
    if latest is None:
        return []
    bears = f"the face bears {latest.value / MINUTE:.0f} min (sure: {latest.low / MINUTE:.0f})"
    asked = card.question.full_pressure_time
    before = dwell.value + card.breathe_time
    if asked is not None and before < latest.low < card.needed:
        better = card.flash.advised_time
        least = "" if better is None else f"; {better / MINUTE:.1f} min uses up the flash allowance"
        return [
            Fault(
                where="--full-pressure",
                what=f"{asked / MINUTE:.4g} min of it after melting through at {dwell.value / MINUTE:.0f} min is longer"
                f" than the sheet may stay: {bears}",
                instead=f"ask for {(latest.low - before) / MINUTE:.0f} min at most{least}",
            )
        ]
    s = card.setting
    if not card.spent:
        practice = card.practice_dwell
        if practice is None or practice <= latest.value or s.process.face_assumed:
            return []
        usual = s.plastic.process.set_point if s.plastic.process else None
        hotter = usual is not None and s.set_point.value > usual.value
        cooler = f"leave --set-point at {usual.value:g} °C, or " if usual is not None and hotter else ""
        return [
            Fault(
                where="the dwell",
                what=f"the practice dwell on file for {s.plastic.id.upper()} {s.thickness * 1e3:g} mm,"
                f" {practice / MINUTE:.3g} min, is longer than this shop has found the face to bear at"
                f" {s.set_point.value:g} °C: {bears}",
                instead=f"{cooler}in shop.toml write a dwell_min between {card.needed / MINUTE:.1f} and"
                f" {latest.low / MINUTE:.1f} for it, or in plastics.toml the face_allowance_min that its sheets bear",
            )
        ]
    return [
        Fault(
            where="the dwell",
            what=f"{s.plastic.id.upper()} {s.thickness * 1e3:g} mm at {s.set_point.value:g} °C is raw inside when its"
            f" face has had enough: melting through takes {dwell.value / MINUTE:.0f} min"
            f" ({dwell.low / MINUTE:.0f} to {dwell.high / MINUTE:.0f}), {bears}",
            instead=_ways_out(card),
        )
    ]


def _ways_out(card: Card) -> str:
    """Set-points and thinner frames that leave a window, else what has to be found out."""
    s, ways = card.setting, list[str]()
    usual = s.set_point.value
    if cooler := _first(card, [usual - STEP * i for i in range(1, TRIED + 1)]):
        ways.append(f"lower the set-point to {cooler:g} °C")
    elif hotter := _first(card, [usual + STEP * i for i in range(1, TRIED + 1)]):
        ways.append(f"raise the set-point to {hotter:g} °C")
    thinner = sorted({f.thickness for f in s.shop.frames.values() if f.thickness < s.thickness - 1e-3})
    if fits := [one for one in reversed(thinner) if _has_window(card, thickness=one)]:
        ways.append(f"press {fits[0] * 1e3:g} mm")
    if min(s.press.power_bottom.value, s.press.power_top.value) <= 0:
        ways.append("heat both sides")
    ways.append(
        f"if the faces of your trial sheets are sound after longer, write what they bear as face_allowance_min"
        f" under [{s.plastic.id}] in plastics.toml"
    )
    return ", or ".join(ways)


def _first(card: Card, set_points: list[float]) -> float | None:
    """The first set-point that may be asked for and leaves a window."""
    return next((one for one in set_points if _has_window(card, set_point=one)), None)


def _has_window(card: Card, *, set_point: float | None = None, thickness: float | None = None) -> bool:
    """By the middle of both, without bands: quick, and said as a way to try."""
    s = card.setting
    try:
        setting = set_out(
            s.shop,
            plastic=s.plastic.id,
            thickness=s.thickness if thickness is None else thickness,
            press=s.press.id,
            lots=s.lots,
            set_point=s.set_point.value if set_point is None else set_point,
        )
        question = replace(card.question, frame=None, full_pressure_time=card.full_time)
        other = replace(card, question=question, setting=setting)
        latest = other.heating.latest
        return latest is None or other.heating.melt_history.time + card.breathe_time + card.full_time < latest
    except UserError:
        return False
