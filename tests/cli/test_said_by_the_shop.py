"""A shop that writes commas, am and pm is answered so by commands and on their papers; JSON and tables stay as they are."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from pypdf import PdfReader

POINT = re.compile(r"(?<![\w.,:/-])\d+\.\d+(?=[\s)])")


@pytest.fixture(scope="module")
def ours(demo_folder, tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("said") / "shop"
    shutil.copytree(demo_folder, folder)
    file = folder / "shop.toml"
    text = file.read_text("utf-8")
    assert "decimal_mark" not in text
    assert "clock_face" not in text
    name = re.search(r"(?m)^name.*$", text)
    assert name is not None
    settings = 'decimal_mark = "comma"\nclock_face = "am_pm"'
    file.write_text(text.replace(name.group(), f"{name.group()}\n{settings}", 1), "utf-8")
    return folder


def test_what_a_command_prints_for_people_has_commas(call, ours):
    done = call("supply", ours)
    assert re.search(r"\d,\d+ A\b", done.out)
    assert POINT.findall(done.out) == []


def test_the_same_answer_for_programs_has_points(call, ours, demo_folder):
    theirs, plain = (call("supply", folder, "--json").document for folder in (ours, demo_folder))
    assert theirs["worst"] == plain["worst"]


def test_its_paper_has_commas_too(call, ours, tmp_path):
    path = tmp_path / "supply.pdf"
    call("supply", ours, "--pdf", path)
    text = "\n".join(page.extract_text() for page in PdfReader(path).pages)
    assert re.search(r"\d,\d+ A\b", text)
    assert POINT.findall(text) == []


def test_a_refusal_of_such_a_shop_has_commas(call, ours):
    done = call("card", "--plastic", "hdpe", "--thickness", "8.25mm", ours)
    assert done.code == 1
    assert "8,25 mm" in done.err


def test_another_shop_in_the_same_process_is_answered_in_its_own_way(call, ours, demo_folder):
    call("supply", ours)
    assert re.search(r"\d\.\d+ A\b", call("supply", demo_folder).out)
