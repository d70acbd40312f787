"""What every request is held to."""

from __future__ import annotations

import asyncio
import http.client
import re
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import httpx
import pytest

from flatstock.web.guard import Guard
from tests.web.conftest import Served


def test_a_name_that_the_server_does_not_go_by_is_turned_away(client: httpx.Client) -> None:
    answer = client.get("/card", headers={"host": "elsewhere.example"})
    assert answer.status_code == 421


@pytest.mark.parametrize("host", ["localhost:8765", "127.0.0.1", "[::1]:80"])
def test_the_machines_own_names_are_answered(client: httpx.Client, host: str) -> None:
    assert client.get("/orders", headers={"host": host}).status_code == 200


def test_another_sites_page_can_change_nothing(client: httpx.Client) -> None:
    answer = client.post("/ground", data={"ground": "dim"}, headers={"origin": "http://elsewhere.example"})
    assert answer.status_code == 403
    answer = client.post("/ground", data={"ground": "dim"}, headers={"sec-fetch-site": "cross-site"})
    assert answer.status_code == 403


def test_the_apps_own_page_can(client: httpx.Client) -> None:
    token = re.findall(r'data-token="(\w+)"', client.get("/orders").text)[0]
    heads = {"origin": str(client.base_url).rstrip("/")}
    answer = client.post("/ground", data={"ground": "auto", "token": token}, headers=heads)
    assert answer.status_code == 303
    assert "samesite=strict" in answer.headers["set-cookie"].lower()


def test_more_bytes_than_a_photograph_are_turned_away(served: Served) -> None:
    asks = http.client.HTTPConnection(served.address.removeprefix("http://"), timeout=60)
    asks.putrequest("POST", "/ground")
    asks.putheader("content-length", str(17 * 2**20))
    asks.endheaders()
    assert asks.getresponse().status == 413
    asks.close()


def asked_by(name: str, *, reached: str, by_address: bool) -> int:
    """The status that a request by a name gets which reached the machine at an address."""
    said: list[int] = []

    async def app(scope: Any, receive: Any, send: Any) -> None:
        await send({"type": "http.response.start", "status": 200, "headers": []})

    async def send(message: Any) -> None:
        if message["type"] == "http.response.start":
            said.append(message["status"])

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": b""}

    scope = {
        "type": "http", "method": "GET", "path": "/", "server": (reached, 8765),
        "headers": [(b"host", f"{name}:8765".encode())],
    }  # fmt: skip
    with ThreadPoolExecutor(1) as beside:  # a browser of another test may keep a loop in this thread
        guard = Guard(app, ["localhost"], by_address=by_address)
        beside.submit(lambda: asyncio.run(guard(scope, receive, send))).result()
    return said[0]


def test_a_machine_that_was_given_another_address_answers_to_it_and_to_no_other_name() -> None:
    assert asked_by("192.0.2.9", reached="192.0.2.9", by_address=True) == 200
    assert asked_by("192.0.2.7", reached="192.0.2.9", by_address=True) == 421
    assert asked_by("elsewhere.example", reached="192.0.2.9", by_address=True) == 421


def test_a_machine_that_serves_itself_alone_answers_to_no_address_of_the_network() -> None:
    assert asked_by("192.0.2.9", reached="192.0.2.9", by_address=False) == 421
