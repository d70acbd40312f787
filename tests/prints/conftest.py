"""Documents and pictures of stories 1, 2, 4 and 5 as somebody at the press would get them, written by hand."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from flatstock.pressing.pictures import Moment, Profile, StackMould, StackPicture, ThicknessPicture

SAMPLES = Path(__file__).parent / "samples"


def read_sample(name: str) -> dict[str, Any]:
    """A document of the samples folder."""
    found: dict[str, Any] = json.loads((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return found


@pytest.fixture
def sample() -> Callable[[str], dict[str, Any]]:
    return read_sample


@pytest.fixture
def card() -> dict[str, Any]:
    return read_sample("card")


@pytest.fixture
def stack() -> dict[str, Any]:
    return read_sample("stack")


@pytest.fixture
def wallchart() -> dict[str, Any]:
    return read_sample("wallchart")


@pytest.fixture
def correct() -> dict[str, Any]:
    return read_sample("correct")


@pytest.fixture(scope="session")
def thickness_picture() -> ThicknessPicture:
    """A heated charge by a plain explicit march; close enough to look at, no reference for anything."""
    nodes, minutes, set_point = 31, 30.0, 195.0
    spacing, dt = 12e-3 / (nodes - 1), 0.4
    times, heights = np.arange(0, minutes * 60, dt), np.linspace(0, 12e-3, nodes)
    temperature = np.empty((times.size, nodes))
    now = np.full(nodes, 20.0)
    platen = set_point - 20 * (times / 90) * np.exp(1 - times / 90)
    for i, faces in enumerate(platen):
        temperature[i] = now
        heat = 2300 * 950 + 950 * 180e3 / 16 * ((now > 122) & (now < 138))
        conducts = 0.11 + 0.14 * np.clip((now - 122) / 16, 0, 1)
        flow = np.diff(now) * (conducts[1:] + conducts[:-1]) / 2 / spacing
        film = 450.0
        gain = np.concatenate(
            ([film * (faces - now[0]) + flow[0]], np.diff(flow), [film * (faces - now[-1]) - flow[-1]])
        )
        mass = np.full(nodes, spacing)
        mass[[0, -1]] /= 2
        now = now + dt * gain / (heat * mass)
    core = temperature.min(axis=1)
    molten = np.clip((temperature - 118) / 22, 0, 1).mean(axis=1)
    return ThicknessPicture(
        title="HDPE 12 mm between platens at 195 °C", times=times, heights=heights, temperature=temperature,
        melting_onset=122.0, melting_end=138.0, target=165.0, set_point=set_point,
        moments=(
            Moment("closed", 60.0), Moment("breathe", float(times[np.argmax(core > 138)])),
            Moment("core at target", float(times[np.argmax(core > 165)])), Moment("transfer", 28 * 60.0),
        ),
        bottom=platen, top=platen + 1.5, core=core, face=temperature[:, 0], gap=0.0245 - 0.0102 * molten,
    )  # fmt: skip


@pytest.fixture(scope="session")
def stack_picture() -> StackPicture:
    """Story 4's eight moulds, each cooling exponentially; to look at."""
    arrivals = [0, 48, 96, 130, 164, 198, 216, 234]
    kinds = [("hdpe", 18)] * 3 + [("hdpe", 12)] * 3 + [("pp", 6)] * 2
    times = np.linspace(0, 28 * 3600, 800)
    foot, moulds, curves = 0.0, [], []
    for i, (minute, (plastic, mm)) in enumerate(zip(arrivals, kinds, strict=True)):
        top = foot + mm * 1e-3 + 4e-3
        moulds.append(StackMould(
            label=f"F{mm}-{i % 3 + 1}", plastic=plastic, thickness=mm * 1e-3, arrives=minute * 60.0,
            bottom=foot, top=top, opens=(27.5 - abs(i - 3)) * 3600 if i != 3 else None,
        ))  # fmt: skip
        foot = top
        since = times - minute * 60
        heat = 18 + 171 * np.exp(-np.maximum(since, 0) / (3600 * (10 - abs(i - 3.5))))
        curves.append(np.where(since >= 0, heat, np.nan))
    heights = np.linspace(0, foot, 60)
    profile = Profile(time=23 * 3600.0, heights=heights, temperature=20 + 37 * np.sin(np.pi * heights / foot))
    return StackPicture(
        title="Eight moulds in ST1, still air", start=datetime(2026, 3, 2, 9, tzinfo=UTC), moulds=tuple(moulds),
        times=times, hottest=np.stack(curves, axis=1), profiles=(profile,), limit=45.0, asked=23 * 3600.0,
    )  # fmt: skip
