"""Calls of the command line in this process, on a copy of the demo workshop."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

import pytest

from flatstock.cli import main
from tests.charts import charts_once


@dataclass(frozen=True)
class Call:
    """What a call gave back."""

    code: int
    out: str
    err: str

    @property
    def document(self):
        return json.loads(self.out)


@pytest.fixture(autouse=True, scope="session")
def once():
    with charts_once():
        yield


@pytest.fixture
def call(capsys):
    def run(*words):
        capsys.readouterr()
        code = main([str(word) for word in words])
        out, err = capsys.readouterr()
        return Call(code, out, err)

    return run


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory) -> Path:
    from flatstock.demo import copy_to

    folder = tmp_path_factory.mktemp("shops") / "demo"
    copy_to(folder)
    return folder
