"""What every request is held to."""

from __future__ import annotations

import http.client
import re

import httpx
import pytest

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
    asks = http.client.HTTPConnection(served.address.removeprefix("http://"), timeout=10)
    asks.putrequest("POST", "/ground")
    asks.putheader("content-length", str(17 * 2**20))
    asks.endheaders()
    assert asks.getresponse().status == 413
    asks.close()
