"""Who may see and tap: devices beyond the machine itself, by their own address in a network of this machine."""

from __future__ import annotations

import errno
import http.client
import os
import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, ClassVar
from urllib.parse import urlencode

import httpx
import pytest
import zxingcpp
from playwright.sync_api import Browser, expect

from flatstock.cli.commands.open import open_app
from flatstock.web import serving
from flatstock.web.access.door import Visitor, may
from flatstock.web.access.keys import Keys
from flatstock.web.access.limits import Limit
from flatstock.web.app import create_app
from flatstock.web.workplace import Workplace
from tests.web.conftest import MONDAY, Served, demo_folder


class Elsewhere:
    """The app as a device of the network asks it: by the protocol between server and app, from another address."""

    opened: ClassVar[list[Elsewhere]] = []

    def __init__(self, folder: Path, address: str = "192.0.2.7") -> None:
        self.app: Any = create_app(
            Workplace(folder, now_is=MONDAY), hosts=("shop.test",), addresses=("http://shop.test:8765",)
        )
        self.address, self.cookie = address, ""
        self.opened.append(self)

    def close(self) -> None:
        self.app.state.floor.close()
        self.app.state.place.close()

    async def _ask(self, method: str, path: str, body: bytes, heads: dict[str, str]) -> httpx.Response:
        transport = httpx.ASGITransport(self.app, client=(self.address, 5000))
        async with httpx.AsyncClient(transport=transport, base_url="http://shop.test") as asks:
            return await asks.request(method, path, content=body, headers=heads)

    def ask(self, method: str, path: str, data: dict[str, str] | None = None, **heads: str) -> httpx.Response:
        import asyncio
        from concurrent.futures import ThreadPoolExecutor

        sent = {name.replace("_", "-"): value for name, value in heads.items()}
        if self.cookie:
            sent["cookie"] = self.cookie
        body = b""
        if data is not None:
            sent["content-type"] = "application/x-www-form-urlencoded"
            body = urlencode(data).encode()
        with ThreadPoolExecutor(1) as beside:  # a browser of another test may keep a loop in this thread
            return beside.submit(lambda: asyncio.run(self._ask(method, path, body, sent))).result()

    def pair(self, role: str, **more: str) -> httpx.Response:
        code = self.app.state.keys.code(role)
        answer = self.ask("POST", "/pair", {"code": code, "name": "wall tablet", **more})
        if "set-cookie" in answer.headers:
            self.cookie = answer.headers["set-cookie"].split(";")[0]
        return answer

    def token(self) -> str:
        return re.findall(r'data-token="(\w*)"', self.ask("GET", "/week").text)[0]


@pytest.fixture(autouse=True)
def closed() -> Iterator[None]:
    """The records of every app that a test has made are given back."""
    yield
    while Elsewhere.opened:
        Elsewhere.opened.pop().close()


@pytest.fixture
def elsewhere(tmp_path: Path) -> Elsewhere:
    return Elsewhere(demo_folder(tmp_path / "shop"))


def test_nobody_unpaired_sees_anything_of_the_shop(elsewhere: Elsewhere) -> None:
    for address in (
        "/",
        "/week",
        "/orders",
        "/card",
        "/store",
        "/shop",
        "/floor",
        "/record/O-104-01",
        "/access",
    ):
        answer = elsewhere.ask("GET", address)
        assert answer.status_code == 303, address
        assert answer.headers["location"] == "/pair"
    page = elsewhere.ask("GET", "/pair").text
    assert "Lower Sluice" not in page
    assert "O-104" not in page


def test_the_pairing_page_offers_only_what_works_unpaired(elsewhere: Elsewhere) -> None:
    """Light and dim are of a paired device: the choice led to a bare refusal."""
    page = elsewhere.ask("GET", "/pair").text
    assert re.findall(r'<form[^>]*action="([^"]*)"', page) == ["/pair"]
    elsewhere.pair("visitor")
    assert 'action="/ground"' in elsewhere.ask("GET", "/week").text


def test_a_machine_that_serves_the_network_says_where(elsewhere: Elsewhere) -> None:
    elsewhere.address = "127.0.0.1"
    page = elsewhere.ask("GET", "/access").text
    assert "Other devices reach it at" in page
    assert "http://shop.test:8765/pair" in page
    assert "until this start of the app ends" in page, "it was asked for with this start alone"


def test_nobody_unpaired_changes_anything(elsewhere: Elsewhere) -> None:
    for address in ("/floor/taps", "/week/plan", "/shop/files", "/access/code", "/access/pin"):
        assert elsewhere.ask("POST", address, {}).status_code == 401, address


def test_a_paired_tablet_sees_the_board_and_stays_paired(elsewhere: Elsewhere) -> None:
    answer = elsewhere.pair("operator")
    assert answer.status_code == 303
    kept = answer.headers["set-cookie"].lower()
    assert "httponly" in kept
    assert "samesite=strict" in kept
    assert "Lower Sluice" in elsewhere.ask("GET", "/").text
    again = Elsewhere(elsewhere.app.state.place.folder)  # the server is started afresh
    again.cookie = elsewhere.cookie
    assert again.ask("GET", "/").status_code == 200


def test_a_code_pairs_one_device_and_no_second(elsewhere: Elsewhere) -> None:
    code = elsewhere.app.state.keys.code("operator")
    assert elsewhere.ask("POST", "/pair", {"code": code}).status_code == 303
    assert elsewhere.ask("POST", "/pair", {"code": code}).status_code == 422


def test_an_operators_tablet_taps_but_sets_nothing_up(elsewhere: Elsewhere) -> None:
    elsewhere.pair("operator")
    token = elsewhere.token()
    assert (
        elsewhere.ask("POST", "/shop/files", {"name": "shop", "text": "", "token": token}).status_code == 403
    )
    assert elsewhere.ask("POST", "/access/code", {"role": "lead", "token": token}).status_code == 403
    assert elsewhere.ask("GET", "/access").status_code == 403


def test_a_visitor_taps_nothing(elsewhere: Elsewhere) -> None:
    elsewhere.pair("visitor")
    assert elsewhere.ask("GET", "/").status_code == 200
    assert elsewhere.ask("POST", "/floor/taps", {}).status_code == 403


def test_a_form_without_its_sessions_token_is_refused(elsewhere: Elsewhere) -> None:
    elsewhere.pair("operator")
    assert elsewhere.ask("POST", "/ground", {"ground": "dim"}).status_code == 403
    assert elsewhere.ask("POST", "/ground", {"ground": "dim", "token": "0" * 64}).status_code == 403
    assert elsewhere.ask("POST", "/ground", {"ground": "dim", "token": elsewhere.token()}).status_code == 303


def test_a_leads_code_alone_asks_for_the_pin_and_keeps_what_was_written(elsewhere: Elsewhere) -> None:
    """Nothing was tried, so nothing is refused."""
    elsewhere.app.state.keys.set_pin("OP1", "4711")
    answer = elsewhere.pair("lead")
    assert answer.status_code == 200
    assert "does not fit" not in answer.text
    assert 'name="pin"' in answer.text
    assert 'value="wall tablet"' in answer.text


def test_a_visitors_board_says_that_the_checks_are_not_signed_in_a_whole_sentence(
    elsewhere: Elsewhere,
) -> None:
    elsewhere.pair("visitor")
    page = elsewhere.ask("GET", "/").text
    assert "The start checks of today are not signed yet. The heaters stay off until then." in page


def test_a_leads_device_asks_for_a_leads_pin(elsewhere: Elsewhere) -> None:
    elsewhere.app.state.keys.set_pin("OP1", "4711")
    assert elsewhere.pair("lead", person="OP1", pin="4712").status_code == 422
    assert elsewhere.pair("lead", person="OP1", pin="4711").status_code == 303
    assert elsewhere.ask("GET", "/access").status_code == 200


def test_a_forgotten_device_is_out_at_once(elsewhere: Elsewhere) -> None:
    elsewhere.pair("operator")
    (device,) = elsewhere.app.state.keys.devices()
    elsewhere.app.state.keys.forget(device.id)
    assert elsewhere.ask("GET", "/").status_code == 303


def test_codes_cannot_be_guessed_at_leisure(tmp_path: Path) -> None:
    from_one = Elsewhere(demo_folder(tmp_path / "shop"), "192.0.2.99")
    answers = [from_one.ask("POST", "/pair", {"code": f"AAAAAAA{n}"}).status_code for n in range(2, 10)]
    assert answers[-1] == 429


def test_the_file_holds_no_pin_and_no_secret_and_is_its_owners_alone(elsewhere: Elsewhere) -> None:
    elsewhere.app.state.keys.set_pin("OP1", "4711")
    elsewhere.pair("operator")
    file = elsewhere.app.state.place.folder / "access.json"
    text = file.read_text()
    assert "4711" not in text
    assert elsewhere.cookie.split(".")[-1] not in text
    assert "$argon2id$" in text
    assert file.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("pin", ["123", "abcd", "0000", "1" * 13])
def test_a_pin_that_is_none_is_refused(tmp_path: Path, pin: str) -> None:
    with pytest.raises(Exception, match="4 to 12 digits"):
        Keys(tmp_path).set_pin("OP1", pin)


def test_a_code_is_over_after_ten_minutes(tmp_path: Path) -> None:
    now = [0.0]
    keys = Keys(tmp_path, clock=lambda: now[0])
    code = keys.code("operator")
    now[0] = 599.0
    assert keys.role_of(code) == "operator"
    now[0] = 601.0
    assert keys.role_of(code) is None


def test_a_limit_lets_a_few_through_and_then_one_at_a_time() -> None:
    now = [0.0]
    limit = Limit(burst=2, every=10.0, clock=lambda: now[0])
    assert [limit.allows("a") for _ in range(3)] == [True, True, False]
    assert limit.allows("b")
    now[0] = 10.0
    assert [limit.allows("a") for _ in range(2)] == [True, False]


@pytest.mark.parametrize("path", ["/record/O-1", "/record/x/y"])
def test_a_record_is_open_to_anybody_only_once_it_is_switched_on(path: str) -> None:
    nobody = Visitor(role=None, here=False, name="", session="", device="")
    assert not may(nobody, "GET", path, open_records=False)
    assert may(nobody, "GET", path, open_records=True)
    assert not may(nobody, "POST", path, open_records=True)
    assert not may(nobody, "GET", f"{path}/measure", open_records=True)  # a form, with everybody's name


@pytest.fixture
def shop(tmp_path: Path, serve: Callable[..., Served]) -> Iterator[Served]:
    return serve(demo_folder(tmp_path / "shop"))


def test_the_code_on_the_screen_is_the_one_in_its_picture(shop: Served, browser: Browser) -> None:
    """Read back by another reader of QR symbols."""
    shop.app.state.addresses = ("http://192.0.2.1:8765",)
    page = browser.new_page()
    page.goto(f"{shop.address}/access")
    page.get_by_role("button", name="operator").click()
    code = page.locator(".code").inner_text().replace(" ", "").replace("\n", "")
    read = zxingcpp.read_barcodes(_image(page.locator(".qr svg").screenshot()))
    assert [one.text for one in read] == [f"http://192.0.2.1:8765/pair?code={code}"]
    page.close()


def test_without_serving_the_shop_the_page_says_so(shop: Served, browser: Browser) -> None:
    page = browser.new_page()
    page.goto(f"{shop.address}/access")
    expect(page.locator("main")).to_contain_text("this machine alone")
    expect(page.locator("main")).to_contain_text("not encrypted")
    page.close()


def test_by_default_nothing_listens_beyond_the_machine(shop: Served) -> None:
    assert shop.socket.getsockname()[0] == "127.0.0.1"


def test_a_request_in_pieces_is_bounded_too(shop: Served) -> None:
    asks = http.client.HTTPConnection(shop.address.removeprefix("http://"), timeout=60)
    asks.putrequest("POST", "/floor/taps")
    asks.putheader("transfer-encoding", "chunked")
    asks.endheaders()
    piece = b"x" * 65536
    try:
        for _ in range(300):
            asks.send(b"%x\r\n%s\r\n" % (len(piece), piece))
        asks.send(b"0\r\n\r\n")
        assert asks.getresponse().status >= 400
    except (ConnectionError, http.client.HTTPException):
        pass  # cut off
    finally:
        asks.close()


def _image(png: bytes) -> Any:
    """A picture as an array of greys, without a library of pictures."""
    import struct
    import zlib

    import numpy as np

    width, height, depth, colour = struct.unpack(">IIBB", png[16:26])
    assert depth == 8
    channels = {2: 3, 6: 4}[colour]
    data, at = b"", 8
    while at < len(png):
        size, kind = struct.unpack(">I4s", png[at : at + 8])
        if kind == b"IDAT":
            data += png[at + 8 : at + 8 + size]
        at += 12 + size
    raw = np.frombuffer(zlib.decompress(data), np.uint8).reshape(height, 1 + width * channels)
    out = np.zeros((height, width * channels), np.uint8)
    for row in range(height):
        kind, line = raw[row, 0], raw[row, 1:].astype(int)
        above = out[row - 1].astype(int) if row else np.zeros_like(line)
        for n in range(len(line)):
            left = int(out[row, n - channels]) if n >= channels else 0
            corner = int(above[n - channels]) if n >= channels else 0
            guess = left + above[n] - corner
            near = min((left, above[n], corner), key=lambda one: abs(guess - one))
            add = {0: 0, 1: left, 2: above[n], 3: (left + above[n]) // 2, 4: near}[int(kind)]
            out[row, n] = (line[n] + add) & 255
    return np.ascontiguousarray(out.reshape(height, width, channels)[:, :, 1])


def test_a_visitors_device_is_shown_no_form_and_led_back(elsewhere: Elsewhere) -> None:
    elsewhere.pair("visitor")
    for address in (
        "/store/new",
        "/handover",
        "/checks/start",
        "/demould",
        "/record/O-104-01/measure",
        "/happened/x/correct",
    ):
        answer = elsewhere.ask("GET", address)
        assert (answer.status_code, '<a href="/">' in answer.text) == (403, True), address
    for address in ("/", "/happened", "/store", "/week", "/card"):
        assert elsewhere.ask("GET", address).status_code == 200, address


def test_a_visitor_who_taps_danger_reads_what_to_do_and_leaves_nothing_behind(
    browser: Browser, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    """Else it would be told when the same device is paired as another one day."""
    served = serve(demo_folder(tmp_path / "shop"))
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto(served.address)
    page.evaluate("document.documentElement.dataset.role = 'visitor'")
    expect(page.locator(".do").first).to_be_hidden()
    page.get_by_role("button", name="Danger").click()
    page.locator("#danger").get_by_role("button", name="Smoke, fire, fume").click()
    expect(page.locator("#takeover")).to_contain_text("tell somebody of the shop")
    page.locator("#takeover button").click()
    expect(page.locator("#line")).to_have_text("live")
    assert served.app.state.floor.floor()[1].danger is None
    page.close()


def test_the_stream_of_a_device_that_is_taken_off_the_list_ends(elsewhere: Elsewhere) -> None:
    from concurrent.futures import ThreadPoolExecutor

    elsewhere.pair("operator")
    (device,) = elsewhere.app.state.keys.devices()
    with ThreadPoolExecutor(1) as beside:
        stream = beside.submit(elsewhere.ask, "GET", "/floor/live")
        until = time.monotonic() + 20
        while not elsewhere.app.state.live.listeners and time.monotonic() < until:
            time.sleep(0.02)
        assert not stream.done()
        elsewhere.app.state.keys.forget(device.id)
        elsewhere.app.state.live.tell()
        assert "event: floor" in stream.result(timeout=120).text


def test_a_board_on_a_device_that_is_no_longer_paired_says_so_and_not_that_it_is_live(
    browser: Browser, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    page = browser.new_page()
    page.goto(serve(demo_folder(tmp_path / "shop")).address)
    expect(page.locator("#line")).to_have_text("live")
    page.route("**/floor", lambda route: route.fulfill(status=303, headers={"location": "/pair"}))
    page.evaluate("document.dispatchEvent(new CustomEvent('floor:ask'))")
    expect(page.locator("#line")).to_contain_text("no longer paired")
    expect(page.get_by_role("link", name="Pair it again")).to_be_visible()
    page.close()


def test_the_code_names_the_address_that_the_machine_has_by_now(shop: Served, browser: Browser) -> None:
    now = ["http://192.0.2.7:8765"]
    shop.app.state.addresses = lambda: now
    page = browser.new_page()
    page.goto(f"{shop.address}/access")
    expect(page.locator("main")).to_contain_text("fixed address")
    for address in ("http://192.0.2.7:8765", "http://192.0.2.9:8765"):
        now[:] = [address]
        page.get_by_role("button", name="operator").click()
        expect(page.locator("figcaption")).to_have_text(f"{address}/pair")
    page.close()


def test_on_a_disk_that_lets_nothing_be_written_nor_taken_away_pages_keep_their_token(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuses(*_: object, **__: object) -> None:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    folder = demo_folder(tmp_path / "shop", plan=False)
    keys = Keys(folder)
    with monkeypatch.context() as disk:
        disk.setattr(os, "open", refuses)
        disk.setattr(os, "unlink", refuses)
        first, again = keys.secret(), keys.secret()
    assert first == again != b""
    assert not (folder / "access.json").exists()


def test_a_button_has_the_app_serve_the_shop_from_its_next_start_on(
    tmp_path: Path, serve: Callable[..., Served], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, started = demo_folder(tmp_path / "shop"), []
    monkeypatch.setattr(serving, "serve", lambda _place, **how: started.append(how["beyond"]))
    open_app(folder)
    served = serve(folder)
    page = httpx.get(f"{served.address}/access", timeout=60).text
    token = re.findall('name="token" value="([^"]*)"', page)[0]
    form = {"token": token, "shop": "yes"}
    page = httpx.post(f"{served.address}/access/serve", data=form, timeout=60, follow_redirects=True).text
    assert "From its next start on" in page
    open_app(folder)
    assert started == [False, True]
