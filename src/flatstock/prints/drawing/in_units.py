"""Pictures with their temperatures in what a shop reads; times stay seconds, lengths metres."""

from __future__ import annotations

from dataclasses import replace

from flatstock.pressing.pictures import Array, StackPicture, ThicknessPicture
from flatstock.prints.shown import Shown

__all__ = ["stack_in", "thickness_in"]


def thickness_in(picture: ThicknessPicture, shown: Shown) -> ThicknessPicture:
    """The same picture with every temperature in the unit shown."""
    if not shown.us:
        return picture
    return replace(
        picture,
        title=shown.prose(picture.title),
        temperature=_degrees(picture.temperature, shown),
        melting_onset=shown.convert(picture.melting_onset, "C"),
        melting_end=shown.convert(picture.melting_end, "C"),
        target=shown.convert(picture.target, "C"),
        set_point=shown.convert(picture.set_point, "C"),
        bottom=_degrees(picture.bottom, shown),
        top=_degrees(picture.top, shown),
        core=_degrees(picture.core, shown),
        face=_degrees(picture.face, shown),
    )


def stack_in(picture: StackPicture, shown: Shown) -> StackPicture:
    """The same picture with every temperature in the unit shown."""
    if not shown.us:
        return picture
    profiles = tuple(replace(p, temperature=_degrees(p.temperature, shown)) for p in picture.profiles)
    return replace(
        picture,
        hottest=_degrees(picture.hottest, shown),
        profiles=profiles,
        limit=shown.convert(picture.limit, "C"),
    )


def _degrees(values: Array, shown: Shown) -> Array:
    zero = shown.convert(0.0, "C")  # a straight line through two points
    return values * (shown.convert(1.0, "C") - zero) + zero
