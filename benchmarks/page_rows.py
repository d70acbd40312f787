"""The app with a long history on record: how long each page takes on the server, and how soon fifty tablets hear."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory

import httpx
import uvicorn
from fastapi import FastAPI

from benchmarks.table import Row
from flatstock import demo
from flatstock.actions.plans import keep_plan, plan_week
from flatstock.records.sheets import Recipe
from flatstock.records.store import Store, open_store
from flatstock.running.event import Event
from flatstock.web.app import create_app
from flatstock.web.serving import Ending
from flatstock.web.workplace import Workplace
from flatstock.workshop.files import read

__all__ = ["page_rows"]

MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
SHEETS, A_DAY = 100_000, 20
TABLETS = 50
ASKED = 100  #: times each page is asked for
TARGET = 0.100  #: s, 95th percentile
BATCH = 500  #: sheets in one transaction
HISTORY = "H-{:06d}"
A_LOT = 60  #: sheets from one lot of flake: most of a big bag
#: kg of it weighed for one sheet here; a lot holds what its sheets take, and is used up by them
OF_LOT = 0.001
LOT = "H-{:04d}"
PAGES = (
    "/", "/floor", "/week", "/orders", "/card", "/stack", "/store", "/store/used-up", "/store/sheets",
    "/store/sheets?q=pp", "/store/lot/L-2301",
    "/store/lot/{lot}/trace", "/before", "/shop", "/happened", "/handover", "/demould", "/checks/start", "/fault",
    "/orders/recycled",
    "/record/{old}", "/record/{old}/measure", "/record/{new}", "/store/sheet/{old}",
)  # fmt: skip


AFTER_A_WEIGHING = ("/", "/card", "/stack", "/store", "/before")  #: asked for again, each time after one


def page_rows(*, quick: bool) -> Iterator[Row]:
    """A million events of a hundred thousand sheets, then every page, then tablets that listen."""
    sheets, asked, tablets = (200, 2, 3) if quick else (SHEETS, ASKED, TABLETS)
    with TemporaryDirectory() as name:
        folder = Path(name) / "shop"
        demo.copy_to(folder)
        with (folder / "lots.csv").open("a", encoding="utf-8") as lots:
            for number in range(-(-sheets // A_LOT)):
                lots.write(
                    f"{LOT.format(number)},hdpe,caps,dark,{A_LOT * OF_LOT:g},released,packaging,8,,,,,,\n"
                )
        keep_plan(read(folder), plan_week(read(folder), now=MONDAY, seconds=1.0 if quick else 20.0))
        app = create_app(Workplace(folder, now_is=MONDAY + timedelta(hours=2)), replans=False)
        app.state.rooms.shortens = False  # its minute of search after the first visit is no page's time
        app.state.place.living()  # the records are begun from the files first
        with open_store(folder) as store:
            yield _written(store, sheets)
            events = store.last()
        told = f"{sheets:,} sheets, {events:,} events on record"
        try:
            yield from asyncio.run(_pages(app, sheets, asked, told))
        finally:
            app.state.rooms.end()  # a page has begun to look for a room; Python must not end under its solver
        yield _heard(folder, tablets, told)


def _written(store: Store, sheets: int) -> Row:
    start = time.perf_counter()
    for first in range(0, sheets, BATCH):
        numbers = range(first, min(first + BATCH, sheets))
        made_by = {HISTORY.format(n): _recipe(n) for n in numbers}
        store.append([e for n in numbers for e in _history(n, sheets)], made_by)
    taken = time.perf_counter() - start
    each = taken / sheets / 10
    return Row(
        work="an event kept, many in one transaction",
        seconds=each,
        setting=f"SQLite, synchronous FULL; {BATCH} sheets of ten events at a time",
    )


def _history(number: int, sheets: int) -> Iterator[Event]:
    """The ten events of one sheet, on a day long before the demo's Monday."""
    sheet, who = HISTORY.format(number), ("OP1", "OP2")
    days = timedelta(days=30 + (sheets - number) // A_DAY)
    begin = MONDAY - days + timedelta(minutes=20 * (number % A_DAY))

    def event(kind: str, minutes: float, place: str | None = None, **facts: object) -> Event:
        at = begin + timedelta(minutes=minutes)
        return Event(
            id=f"{sheet} {kind}",
            at=at,
            noted_at=at,
            kind=kind,
            who=who,
            sheet=sheet,
            place=place,
            facts=facts,
        )  # type: ignore[arg-type]

    yield event("weighed", 0, lot=LOT.format(number // A_LOT), mass_kg=OF_LOT, target_kg=OF_LOT)
    yield event("prepared", 5)
    yield event("loaded", 8, "HP1", set_point_C=195)
    yield event("breathed", 20)
    yield event("transferred", 36, "CP1")
    yield event("moved", 60, "R1")
    yield event("demoulded", 120)
    yield event("trimmed", 300)
    yield event("measured", 1440, **{f"t{n}_mm": 12.0 for n in range(1, 10)}, mass_kg=11.4)
    yield event("note", 1500, text="stored flat")


def _weighing(name: str) -> Event:
    """A little of a lot that is in use, so that what the shop has on hand is another."""
    facts = {"lot": "L-2301", "mass_kg": OF_LOT, "target_kg": OF_LOT}
    return Event(
        id=f"weighing {name}",
        at=MONDAY,
        noted_at=MONDAY,
        kind="weighed",
        who=("OP1",),
        sheet="O-104-99",
        place=None,
        facts=facts,
    )


def _recipe(number: int) -> Recipe:
    """As a plan of then would have said it."""
    body = {
        "order": f"H-{number // A_DAY:05d}", "plastic": "hdpe", "colour": "dark", "thickness_mm": 12.0,
        "lots": [{"lot": LOT.format(number // A_LOT), "mass_kg": OF_LOT}], "charge_kg": 11.74, "set_point_C": 195.0,
        "dwell_min": 13.0, "frame": "F12-1", "skins": "S01-02", "shop": "a workshop", "marking": ">PE-HD<",
        "sold_length_mm": 1200.0, "sold_width_mm": 800.0, "condition_h": 12.0,
    }  # fmt: skip
    return Recipe(name=f"H-{number // A_DAY:05d}", body=body)


async def _pages(app: FastAPI, sheets: int, asked: int, told: str) -> Sequence[Row]:
    """Time on the server alone: the app is called in this process, without a network between."""
    rows = []
    transport = httpx.ASGITransport(app=app, client=("127.0.0.1", 50_000))
    store = app.state.floor.board().store
    names = {"old": HISTORY.format(sheets // 2), "new": "O-104-01", "lot": LOT.format(sheets // 2 // A_LOT)}
    async with httpx.AsyncClient(transport=transport, base_url="http://127.0.0.1", timeout=600) as client:
        pages = [(one.format(**names), False) for one in PAGES] + [(one, True) for one in AFTER_A_WEIGHING]
        for path, weighs in pages:
            taken = []
            for number in range(asked + 1):
                if weighs:
                    store.append([_weighing(f"{path} {number}")])
                start = time.perf_counter()
                answer = await client.get(path)
                taken.append(time.perf_counter() - start)
                answer.raise_for_status()
            first, rest = taken[0], sorted(taken[1:])
            parts = quantiles(rest, n=100, method="inclusive")
            rows.append(
                Row(
                    work=f"page {path}{', each time after a weighing' if weighs else ''}",
                    seconds=median(rest),
                    target=TARGET,
                    setting=f"95th {_ms(parts[94])}, 99th {_ms(parts[98])}; the first {_ms(first)}; {told}",
                )
            )
    return rows


def _ms(seconds: float) -> str:
    return f"{1e3 * seconds:.3g} ms"


def _heard(folder: Path, tablets: int, told: str) -> Row:
    """From a tap until every listening tablet has heard of it, over real connections; median of several taps."""
    place = Workplace(folder, now_is=MONDAY + timedelta(hours=2))
    app = create_app(place, replans=False)
    server = Ending(uvicorn.Config(app, port=0, log_level="error", lifespan="off"), app.state.live)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    port = server.servers[0].sockets[0].getsockname()[1]
    try:
        spans = asyncio.run(_listen(f"http://127.0.0.1:{port}", tablets))
    finally:
        server.should_exit = True
        thread.join(10)
    return Row(
        work=f"a tap heard on all of {tablets} listening tablets",
        seconds=median(spans),
        target=1.0,
        setting=f"slowest of {len(spans)} taps {_ms(max(spans))}; {told}",
    )


async def _listen(address: str, tablets: int) -> list[float]:
    """One stream a tablet; each tap notes something and is waited for on all of them."""
    limits = httpx.Limits(max_connections=tablets + 5)
    async with httpx.AsyncClient(base_url=address, timeout=60, limits=limits) as client:
        page = (await client.get("/")).text
        token = page.split('data-token="', 1)[1].split('"', 1)[0]
        heard: list[asyncio.Queue[float]] = [asyncio.Queue() for _ in range(tablets)]
        streams = [asyncio.create_task(_stream(client, queue)) for queue in heard]
        await asyncio.gather(*(queue.get() for queue in heard))  # each has had its first word
        spans = []
        for number in range(10):
            at = datetime.now(UTC).isoformat()
            note = {
                "id": f"bench {number}",
                "at": MONDAY.isoformat(),
                "noted_at": at,
                "kind": "note",
                "who": [],
            }
            start = time.perf_counter()
            answer = await client.post("/floor/taps", json=[note], headers={"x-token": token})
            answer.raise_for_status()
            ends = await asyncio.gather(*(queue.get() for queue in heard))
            spans.append(max(ends) - start)
        for one in streams:
            one.cancel()
        return spans


async def _stream(client: httpx.AsyncClient, heard: asyncio.Queue[float]) -> None:
    async with client.stream("GET", "/floor/live") as answer:
        async for line in answer.aiter_lines():
            if line == "event: floor":
                heard.put_nowait(time.perf_counter())
