"""The shop's forms in people's words: no sign of a file's that a person would have to know."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from pathlib import Path

import httpx

from flatstock.actions.setting_up import text_of_file
from flatstock.actions.workshops import open_workshop
from tests.web.conftest import MONDAY, Served, demo_on_record


def form_of(served: Served, query: str) -> str:
    return html.unescape(httpx.get(f"{served.address}/shop/part/shop/form?{query}", timeout=60).text)


def fields_of(form: str) -> dict[str, str]:
    hidden = dict(re.findall('type="hidden" name="([^"]+)" value="([^"]*)"', form))
    return {key: value for key, value in hidden.items() if key in ("token", "_of")}


def test_somebody_new_has_hours_and_skills_without_a_word_of_the_file(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_on_record(tmp_path / "shop")
    served = serve(folder, MONDAY)
    form = form_of(served, "of=people")
    assert "hot transfers" in form.partition("<details")[0]
    assert 'name="present"' in form.partition("<details")[0]
    assert re.search(r'\[|""|hot_transfer', re.sub("<[^>]*>", "", form)) is None
    assert re.search("<label[^>]*>(id|present)\\b", form) is None
    said = fields_of(form) | {"id": "OP9", "skills": ["", "hot_transfer"], "present": "mon wed 8:00-12:30"}
    answer = httpx.post(f"{served.address}/shop/part/shop/form", data=said, timeout=60)
    assert answer.status_code == 303, answer.text
    one = open_workshop(folder).people["OP9"]
    assert one.skills == {"hot_transfer"}
    assert len(one.presence) == 1


def test_hours_on_file_stand_in_words(tmp_path: Path, serve: Callable[..., Served]) -> None:
    served = serve(demo_on_record(tmp_path / "shop"), MONDAY)
    lists = html.unescape(httpx.get(f"{served.address}/shop/part/shop", timeout=60).text)
    assert "flash allowance 2.5 % (1.5 to 4.0; assumed)" in lists
    address = re.search(r'href="([^"]+)" aria-label="Change OP1"', lists)
    assert address is not None
    form = html.unescape(httpx.get(served.address + address[1], timeout=60).text)
    assert 'value="mon-fri 07:15 to 15:45, break 12:00 to 12:30"' in form


def test_a_fault_of_a_new_lot_stands_at_its_field_and_names_no_line_of_a_file(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    served = serve(demo_on_record(tmp_path / "shop"), MONDAY)
    form = httpx.get(f"{served.address}/store/new", timeout=60).text
    said = fields_of(form) | {
        "id": "B 1",
        "mass": "12",
        "plastic": "hdpe",
        "origin": "packaging",
        "who": "OP1",
    }
    answer = html.unescape(httpx.post(f"{served.address}/store/new", data=said, timeout=60).text)
    assert "<strong>Its number</strong>" in answer
    assert "lots.csv" not in answer


def test_faces_zones_and_bands_stand_in_words_and_are_written_from_them(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_on_record(tmp_path / "shop")
    served = serve(folder, MONDAY)

    def change(of: str, name: str, value: str, *, part: str = "shop", thing: str) -> str:
        lists = html.unescape(httpx.get(f"{served.address}/shop/part/{part}", timeout=60).text)
        address = re.search(rf'href="([^"]+)" aria-label="Change {thing}"', lists)
        assert address is not None, lists
        form = httpx.get(served.address + address[1], timeout=60).text
        hidden = dict(re.findall('type="hidden" name="([^"]+)" value="([^"]*)"', form))
        said = {key: html.unescape(one) for key, one in hidden.items()} | {name: value}
        answer = httpx.post(f"{served.address}/shop/part/{part}/form", data=said, timeout=60)
        assert answer.status_code == 303, answer.text
        return html.unescape(form)

    form = change("stacks", "bottom_face", "kind fixed; film 6,5 (5 to 7), assumed", thing="ST1")
    assert 'value="kind fixed; film 6 (5 to 7), assumed"' in form
    assert "{ " not in re.sub('name="_was" value="[^"]*"', "", form)
    assert 'film_W_m2K = { value = 6.5, low = 5, high = 7, kind = "assumed" }' in written(folder, "shop.toml")
    form = change("items", "class", "sheet_trolley", part="room", thing="HOT")
    assert '<option value="hot_press" selected>hot press</option>' in form
    assert "docs/" not in form
    assert "a line each: short name …; " in form
    assert "[[" not in form
    assert "as in hot press" in form
    assert re.search(r"short name \w+; kind work; side front; depth \d+ mm; people 2", form)


def written(folder: Path, file: str) -> str:
    """A file as the workshop's records have it."""
    return text_of_file(folder, file.partition(".")[0])[1]
