"""`flatstock open` as a program of its own: its address, its end, a port that is taken."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from flatstock.actions.compiling import WORDS
from flatstock.errors import Refused
from flatstock.web.serving import _listen
from tests.web.conftest import demo_folder


class Opened:
    """The program, once it has said where it is."""

    def __init__(self, folder: Path, *words: str) -> None:
        env = {
            name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY")
        }
        self.program = subprocess.Popen(
            [sys.executable, "-m", "flatstock", "open", str(folder), *words],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=env | {"PYTHONUNBUFFERED": "1", "PYTHONPATH": os.pathsep.join(sys.path)},
        )
        assert self.program.stdout is not None
        found = re.search(r"http://127\.0\.0\.1:\d+", self.program.stdout.readline())
        assert found, self.program.stderr.read() if self.program.stderr else ""
        self.address = found[0]
        until = time.monotonic() + 120
        while time.monotonic() < until:
            try:
                httpx.get(f"{self.address}/look/page.css", timeout=2)
                return
            except httpx.HTTPError:
                time.sleep(0.1)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return demo_folder(tmp_path / "shop")


@pytest.fixture
def opened(folder: Path) -> Iterator[Opened]:
    one = Opened(folder, "--no-browser", "--now", "2026-03-02T09:00")
    yield one
    one.program.kill()
    one.program.communicate()


def test_it_says_its_address_and_answers_there(opened: Opened) -> None:
    answer = httpx.get(f"{opened.address}/orders", timeout=30)
    assert answer.status_code == 200
    assert "Lower Sluice" in answer.text


def test_it_ends_at_ctrl_c_though_a_page_listens(opened: Opened) -> None:
    with httpx.stream("GET", f"{opened.address}/floor/live", timeout=30) as stream:
        next(stream.iter_lines())
        opened.program.send_signal(signal.SIGINT)
        assert opened.program.wait(60) in (0, 130, -signal.SIGINT)


def test_a_killed_server_has_lost_no_tap_that_it_acknowledged(folder: Path, opened: Opened) -> None:
    at = "2026-03-02T09:00:00+00:00"
    for n in range(20):
        tap = {"id": f"tap-{n}", "at": at, "noted_at": at, "kind": "note", "facts": {"text": str(n)}}
        assert httpx.post(f"{opened.address}/floor/taps", json=[tap], timeout=30).status_code == 200
    opened.program.kill()
    opened.program.wait(60)
    again = Opened(folder, "--no-browser", "--now", "2026-03-02T09:00")
    try:
        text = httpx.get(f"{again.address}/happened", timeout=30).text
        assert text.count('<th scope="row">noted</th>') == 20
    finally:
        again.program.kill()
        again.program.communicate()


def test_a_port_that_is_taken_is_refused_by_its_number() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        number = taken.getsockname()[1]
        with pytest.raises(Refused, match=f"port {number} can't be had"):
            _listen("127.0.0.1", number)


def test_without_a_port_named_the_next_free_one_is_taken() -> None:
    with _listen("127.0.0.1", None) as first, _listen("127.0.0.1", None) as second:
        assert first.getsockname()[1] != second.getsockname()[1]


def test_the_first_start_says_that_it_compiles_and_the_next_one_nothing(folder: Path, tmp_path: Path) -> None:
    """With the compiler off, so that it takes no minute; the words come all the same."""
    told = []
    for _ in range(2):
        with pytest.MonkeyPatch.context() as patched:
            patched.setenv("FLATSTOCK_CACHE", str(tmp_path / "cache"))
            patched.setenv("NUMBA_DISABLE_JIT", "1")
            patched.delenv("NUMBA_CACHE_DIR", raising=False)
            one = Opened(folder, "--no-browser", "--now", "2026-03-02T09:00")
        one.program.send_signal(signal.SIGINT)
        told.append(one.program.communicate(timeout=120)[1])
    assert told[0].splitlines()[:2] == [WORDS, "  laws of a plastic"]
    assert "ompil" not in told[1]
