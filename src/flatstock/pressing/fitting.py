"""Which frame and which pair of skins a sheet is pressed in, and whether they fit it and the press."""

from __future__ import annotations

from collections.abc import Iterable

from flatstock.errors import Fault, Refused
from flatstock.pressing.picking import pick
from flatstock.workshop.frame_fits import RULE, THICKER_MOST, THINNER_MOST, makes
from flatstock.workshop.shop import Frame, HotPress, Plate, Skin, Workshop

__all__ = ["frame_for", "lies_on", "skins_for"]

SLACK = 1e-9


def frame_for(
    shop: Workshop,
    press: HotPress,
    thickness: float,
    named: str | None,
    warnings: list[str],
    *,
    must_fit: bool = True,
) -> Frame:
    """The frame named, else the one on file that fits sheet [m] and platens best.

    Raises `Refused` where it is larger than the platens, or (unless `must_fit` is False: then it is warned of)
    where it is not 0 to 0.75 mm thinner than the sheet.
    """
    if not shop.frames:
        raise Refused(Fault("--frame", "the workshop has no frame", "add a frame to shop.toml"))
    if named is not None:
        ring = pick(named, shop.frames, what="frame", where="--frame")
    else:
        lies = [frame for frame in shop.frames.values() if lies_on(frame, press.bottom)]
        ring = min(lies or shop.frames.values(), key=lambda f: _misfit(thickness - f.thickness))
    if not lies_on(ring, press.bottom):
        raise Refused(
            Fault(
                where="--frame",
                what=f"frame {ring.id} ({ring.outside_length * 1e3:g} x {ring.outside_width * 1e3:g} mm outside)"
                f" is larger than the platens of {press.id},"
                f" {press.bottom.length * 1e3:g} x {press.bottom.width * 1e3:g} mm",
                instead="choose a frame that fits",
            )
        )
    if makes(ring.thickness, thickness):
        return ring
    if must_fit:
        raise Refused(_misfitting(shop, press, thickness, ring, asked=named is not None))
    warnings.append(f"{_how_it_misfits(ring, thickness)}; {RULE}.")
    return ring


def skins_for(shop: Workshop, ring: Frame) -> Skin:
    """The first pair of skins that is fit for use and covers the frame. Raises `Refused` without one."""
    for skin in shop.skins.values():
        covers = skin.length >= ring.outside_length - SLACK and skin.width >= ring.outside_width - SLACK
        if skin.fit_for_use and covers:
            return skin
    raise Refused(
        Fault(
            where="shop.toml, skins",
            what=f"no pair of skins that is fit for use covers frame {ring.id}",
            instead=f"add skins of at least {ring.outside_length * 1e3:g} x {ring.outside_width * 1e3:g} mm",
        )
    )


def lies_on(ring: Frame, plate: Plate) -> bool:
    """Whether a platen or plate carries the whole frame, turned or not."""
    return any(
        ring.outside_length <= long + SLACK and ring.outside_width <= wide + SLACK
        for long, wide in ((plate.length, plate.width), (plate.width, plate.length))
    )


def _misfit(thinner: float) -> float:
    """How badly a frame fits [m]: 0.2 to 0.5 mm under the sheet is best, over it is three times as bad as under."""
    if thinner < -THICKER_MOST:
        return -3.0 * thinner
    return 0.0 if 0.2e-3 - 1e-9 <= thinner <= 0.5e-3 + 1e-9 else abs(thinner)


def _how_it_misfits(ring: Frame, thickness: float) -> str:
    off = (thickness - ring.thickness) * 1e3
    if off < 0:
        return (
            f"frame {ring.id} is {-off:.3g} mm thicker than the sheet: once the sheet shrinks the skins bear on the"
            " frame and nothing follows, which leaves sink and voids"
        )
    return f"frame {ring.id} is {off:.3g} mm thinner than the sheet: the melt stands too proud and leaves as flash"


def _misfitting(shop: Workshop, press: HotPress, thickness: float, ring: Frame, *, asked: bool) -> Fault:
    """Why no sheet of this thickness comes out of the frame, and which frame or sheet would do."""
    others = [frame for frame in shop.frames.values() if lies_on(frame, press.bottom)]
    good = [frame.id for frame in others if makes(frame.thickness, thickness)]
    if asked:
        instead = (
            f"write --frame {_either(good, 'or')}" if good else f"ask for {_range(ring.thickness)} in it"
        )
        return Fault("--frame", f"{_how_it_misfits(ring, thickness)} ({RULE})", instead)
    there = sorted({frame.thickness for frame in others})
    listed = _either([f"{one * 1e3:g}" for one in there], "and")
    wanted = f"{(thickness - THINNER_MOST) * 1e3:.4g} to {thickness * 1e3:.4g} mm"
    return Fault(
        where="--thickness",
        what=f"no frame of this workshop makes {thickness * 1e3:.4g} mm: {RULE}, and there are frames of {listed} mm",
        instead=f"ask for {_either([_range(one) for one in there], 'or')}, or add a frame of {wanted}",
    )


def _range(frame: float) -> str:
    return f"{frame * 1e3:.4g} to {(frame + THINNER_MOST) * 1e3:.4g} mm"


def _either(words: Iterable[str], joint: str) -> str:
    *most, last = words
    return f"{', '.join(most)} {joint} {last}" if most else last
