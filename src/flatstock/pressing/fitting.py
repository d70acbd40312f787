"""Which frame and which pair of skins a sheet is pressed in, and whether they fit it and the press."""

from __future__ import annotations

from collections.abc import Iterable

from flatstock.errors import Fault, Refused
from flatstock.evidence import Value
from flatstock.pressing.picking import pick
from flatstock.pressing.trimming import Trimming
from flatstock.workshop.frame_fits import RULE, THICKER_MOST, THINNER_MOST, makes
from flatstock.workshop.shop import Frame, HotPress, Plate, Skin, Workshop

__all__ = ["frame_for", "lies_on", "no_frame", "skins_for"]

SLACK = 1e-9


def no_frame(where: str) -> Fault:
    """What is said of a shop before its first frame."""
    instead = "add one to shop.toml; `flatstock frame` says which to have made"
    return Fault(where, "the workshop has no frame", instead)


def frame_for(
    shop: Workshop,
    press: HotPress,
    thickness: float,
    named: str | None,
    warnings: list[str],
    *,
    shrinkage: Value | None = None,
    must_fit: bool = True,
) -> Frame:
    """The frame named, else the one on file that fits sheet [m] and platens best; of those that fit alike the one that
    wastes least of the size sold (`_waste`), which is said where they are of several sizes.

    `shrinkage`: of the cold sheet against the cavity, as a share; None: it is not looked at.

    Raises `Refused` where it is larger than the platens, or (unless `must_fit` is False: then it is warned of)
    where it is not 0 to 0.75 mm thinner than the sheet.
    """
    if not shop.frames:
        raise Refused(no_frame("--frame"))
    if named is not None:
        ring = pick(named, shop.frames, what="frame", where="--frame")
    else:
        lies = [frame for frame in shop.frames.values() if lies_on(frame, press.bottom)]
        fits = {frame.id: _misfit(thickness - frame.thickness) for frame in lies or shop.frames.values()}
        alike = [shop.frames[name] for name in fits if fits[name] <= min(fits.values()) + SLACK]
        ring = min(alike, key=lambda frame: _waste(shop, frame, shrinkage))
        if lies and (words := _chosen_of(shop, ring, alike)):
            warnings.append(words)
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


def _waste(shop: Workshop, ring: Frame, shrinkage: Value | None) -> tuple[int, float]:
    """What of a cavity is not sold [m2]: the least goes first. A frame whose cold sheet does not give the size sold
    with its trim at every shrinkage of the band comes after all that do, one that gives it at none last, the largest
    of them first; without such a size on file all are alike."""
    long, wide = shop.practice.trimmed_length, shop.practice.trimmed_width
    if long is None or wide is None or shrinkage is None:
        return 0, 0.0
    area = ring.cavity_length * ring.cavity_width
    verdict = Trimming(frame=ring, practice=shop.practice, shrinkage=shrinkage).verdict
    return {"yes": (0, area - long * wide), "perhaps": (1, -area)}.get(verdict or "", (2, -area))


def _chosen_of(shop: Workshop, ring: Frame, alike: list[Frame]) -> str:
    """Why this one of several sizes; empty: they are of one."""
    sizes = {(frame.cavity_length, frame.cavity_width) for frame in alike}
    long, wide = shop.practice.trimmed_length, shop.practice.trimmed_width
    if len(sizes) < 2 or long is None or wide is None:
        return ""
    others = [
        f.id for f in alike if (f.cavity_length, f.cavity_width) != (ring.cavity_length, ring.cavity_width)
    ]
    return (
        f"Frame {ring.id} is taken, not {_either(others, 'or')}: of what makes this thickness it wastes least beside"
        f" the size sold, {long * 1e3:g} x {wide * 1e3:g} mm. Where another is named that one is taken."
    )


def skins_for(shop: Workshop, press: HotPress, ring: Frame, warnings: list[str]) -> Skin:
    """The first pair of skins that is fit for use, covers the frame and lies on the platens; where each of those that
    cover it reaches beyond them the least of it, which is said. Raises `Refused` without one."""
    covering = [
        skin
        for skin in shop.skins.values()
        if skin.fit_for_use
        and skin.length >= ring.outside_length - SLACK
        and skin.width >= ring.outside_width - SLACK
    ]
    found = min(covering, key=lambda skin: _beyond(skin, press.bottom), default=None)
    if found is not None:
        if _beyond(found, press.bottom) > SLACK:
            warnings.append(
                f"Skins {found.id}, {found.length * 1e3:g} x {found.width * 1e3:g} mm, reach beyond the platens of"
                f" {press.id}: a hot edge stands out where people pass, and nothing presses on it. Guard it, or have"
                f" skins that lie on them wholly."
            )
        return found
    raise Refused(
        Fault(
            where="shop.toml, skins",
            what=f"no pair of skins that is fit for use covers frame {ring.id}",
            instead=f"add skins of at least {ring.outside_length * 1e3:g} x {ring.outside_width * 1e3:g} mm",
        )
    )


def _beyond(skin: Skin, plate: Plate) -> float:
    """How far skins reach beyond a platen, both sides together [m], turned the better way."""
    ways = ((plate.length, plate.width), (plate.width, plate.length))
    return min(max(0.0, skin.length - long) + max(0.0, skin.width - wide) for long, wide in ways)


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
