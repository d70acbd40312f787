"""The demo workshop, opened once, and its answers, each computed once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from flatstock import demo
from flatstock.errors import Refused
from flatstock.pressing.card import Card, answer_card, work_out
from flatstock.pressing.questions import CardQuestion, MouldWords, StackQuestion
from flatstock.pressing.stack import answer_stack
from flatstock.pressing.wallchart import answer_wallchart
from flatstock.workshop.files import read
from flatstock.workshop.shop import Workshop
from flatstock.workshop.start import StartAnswers, write_new

Document = Mapping[str, Any]
MONDAY = datetime(2026, 3, 2, 7, tzinfo=UTC)


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    """The demo workshop."""
    folder = tmp_path_factory.mktemp("shops") / "demo"
    demo.copy_to(folder)
    return read(folder)


@pytest.fixture(scope="session")
def card(shop: Workshop) -> Callable[..., Document]:
    """A card of the demo, HDPE 12 mm where nothing else is said; the same question is computed once."""

    @cache
    def made(question: tuple[tuple[str, Any], ...], lots: tuple[tuple[str, float], ...]) -> Document:
        return answer_card(shop, CardQuestion(**dict(question), lots=dict(lots))).document

    def ask(*, lots: Mapping[str, float] | None = None, **words: Any) -> Document:
        words = {"plastic": "hdpe", "thickness": 0.012} | words
        return made(tuple(sorted(words.items())), tuple((lots or {}).items()))

    return ask


@pytest.fixture(scope="session")
def working(shop: Workshop) -> Callable[..., Card]:
    """A card with its parts, HDPE 12 mm of the demo where nothing else is said."""

    @cache
    def made(question: tuple[tuple[str, Any], ...]) -> Card:
        return work_out(shop, CardQuestion(**dict(question)))

    def ask(**words: Any) -> Card:
        return made(tuple(sorted(({"plastic": "hdpe", "thickness": 0.012} | words).items())))

    return ask


@pytest.fixture(scope="session")
def stack(shop: Workshop) -> Callable[..., Document]:
    """A stack of the demo, asked for at 08:00 on Tuesday where nothing else is said."""

    @cache
    def made(moulds: tuple[MouldWords, ...], **words: Any) -> Document:
        return answer_stack(shop, StackQuestion(moulds=moulds, **words)).document

    def ask(*moulds: MouldWords, **words: Any) -> Document:
        return made(moulds, **({"at": MONDAY + timedelta(hours=25)} | words))

    return ask


@pytest.fixture(scope="session")
def chart(shop: Workshop) -> Document:
    """The wall chart of the demo."""
    return answer_wallchart(shop, MONDAY).document


@pytest.fixture(scope="session")
def started(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Workshop]:
    """A workshop started from answers, with lines added to its shop.toml and plastics.toml."""

    def start(*, edit: Mapping[str, str] | None = None, plastics: str = "", **answers: Any) -> Workshop:
        folder: Path = tmp_path_factory.mktemp("started") / "shop"
        write_new(folder, StartAnswers(**answers))
        file = folder / "shop.toml"
        text = file.read_text("utf-8")
        for old, new in (edit or {}).items():
            assert old in text, f"{old!r} is not in the started shop.toml"
            text = text.replace(old, new, 1)
        file.write_text(text, "utf-8")
        if plastics:
            with (folder / "plastics.toml").open("a", encoding="utf-8") as stream:
                stream.write("\n" + plastics)
        return read(folder)

    return start


@pytest.fixture(scope="session")
def refusal(shop: Workshop) -> Callable[..., str]:
    """Why a card is refused, as sentences; HDPE 12 mm of the demo where nothing else is said."""

    def ask(workshop: Workshop = shop, /, **words: Any) -> str:
        with pytest.raises(Refused) as refused:
            answer_card(workshop, CardQuestion(**({"plastic": "hdpe", "thickness": 0.012} | words)))
        return "\n".join(fault.sentence() for fault in refused.value.faults)

    return ask


def framed(shop: Workshop, *millimetres: float) -> Workshop:
    """The same workshop with one frame of each thickness, otherwise like its first."""
    first = next(iter(shop.frames.values()))
    frames = {f"F{mm:g}": replace(first, id=f"F{mm:g}", thickness=mm / 1e3) for mm in millimetres}
    return replace(shop, frames=frames)


@pytest.fixture(scope="session")
def with_lots(shop: Workshop) -> Callable[..., Workshop]:
    """The demo with facts of some lots changed: `with_lots({"L-2301": {"moisture": 0.004}})`."""

    def change(facts: Mapping[str, Mapping[str, Any]]) -> Workshop:
        lots = dict(shop.lots)
        for name, words in facts.items():
            lots[name] = replace(lots[name], **words)
        return replace(shop, lots=lots)

    return change


def mould(
    plastic: str = "hdpe",
    mm: float = 12,
    *,
    hours: float = 0.0,
    core: float | None = 189.0,
    name: str | None = None,
) -> MouldWords:
    """One mould of a stack, `hours` after 07:00 on Monday."""
    return MouldWords(
        plastic=plastic, thickness=mm / 1e3, arrives=MONDAY + timedelta(hours=hours), core=core, name=name
    )


@pytest.fixture(scope="session")
def a_mould() -> Callable[..., MouldWords]:
    """One mould of a stack: plastic, mm, hours after 07:00 on Monday, core, name."""
    return mould
