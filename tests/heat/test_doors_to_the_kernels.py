"""Whichever module of the room is imported first, numba hears of the cache folder before it is loaded."""

import ast
from pathlib import Path

import pytest

import flatstock.heat

MODULES = sorted(Path(flatstock.heat.__path__[0]).glob("*.py"))


def imported(file):
    """Names of the modules that a file imports, in the order of its lines."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            yield node.lineno, node.module
        elif isinstance(node, ast.Import):
            yield from ((node.lineno, name.name) for name in node.names)


@pytest.mark.parametrize("file", MODULES, ids=lambda file: file.stem)
def test_what_imports_numba_has_set_its_cache_folder_before(file):
    lines = sorted(imported(file))
    numba = [line for line, name in lines if name.split(".")[0] == "numba"]
    setting = [line for line, name in lines if name in ("flatstock.heat.compiling", "flatstock.heat.cache")]
    assert not numba or (setting and min(setting) < min(numba))
