"""Compiled kernels: never stale, never in the way of a folder that can't be written, the same as plain Python."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import flatstock
from flatstock.heat.cache import cache_folder
from flatstock.heat.warm import _beside

SOURCES = Path(flatstock.__file__).parent


def python(code: str, folder: Path, **environment: str) -> str:
    """What a fresh process prints that imports flatstock from `folder`."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("NUMBA", "FLATSTOCK", "PYTHON"))}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=folder, timeout=120,
                          env=kept | {"PYTHONPATH": str(folder)} | environment)  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout


@pytest.fixture
def copied(tmp_path):
    """A copy of the sources that a test may edit."""
    shutil.copytree(
        SOURCES / "heat", tmp_path / "flatstock" / "heat", ignore=shutil.ignore_patterns("__pycache__")
    )
    for name in ("__init__.py", "errors.py"):
        shutil.copy(SOURCES / name, tmp_path / "flatstock" / name)
    return tmp_path


# a kernel of `blend_laws` that calls one of `laws`: numba looks at the caller's file only
ASK = """
import numpy as np
from flatstock.heat.blend_laws import boiling_enthalpy
row = np.zeros(26); row[0] = 2000.0; row[5] = row[7] = 300.0; row[6] = row[8] = 0.1
print(boiling_enthalpy(np.zeros((1, 3)), 0, row))
"""


def test_a_kernel_whose_callee_was_edited_gives_the_new_answer(copied):
    cache = {"FLATSTOCK_CACHE": str(copied / "cache")}
    assert float(python(ASK, copied, **cache)) == pytest.approx(2000 * 77)
    laws = copied / "flatstock" / "heat" / "laws.py"
    text = laws.read_text()
    assert text.count("    th = t - REFERENCE\n    return th *") == 1
    laws.write_text(
        text.replace(
            "    th = t - REFERENCE\n    return th *", "    th = t - REFERENCE\n    return 3.0 * th *"
        )
    )
    assert float(python(ASK, copied, **cache)) == pytest.approx(3 * 2000 * 77)
    assert len(list((copied / "cache" / "kernels").iterdir())) == 2


def test_a_cache_folder_that_cannot_be_written_is_replaced_by_a_temporary_one(tmp_path, monkeypatch):
    in_the_way = tmp_path / "file"
    in_the_way.write_text("not a folder")
    monkeypatch.setenv("FLATSTOCK_CACHE", str(in_the_way))
    folder = cache_folder()
    try:
        assert folder.is_dir()
        assert tmp_path not in folder.parents
        (folder / "probe").touch()
    finally:
        shutil.rmtree(folder)


def test_the_folder_follows_the_sources(tmp_path, monkeypatch):
    monkeypatch.setenv("FLATSTOCK_CACHE", str(tmp_path / "cache"))
    (tmp_path / "kernels.py").write_text("a = 1\n")
    first = cache_folder(tmp_path)
    assert cache_folder(tmp_path) == first
    (tmp_path / "kernels.py").write_text("a = 2\n")
    assert cache_folder(tmp_path) != first


PRESS = """
from tests.heat.columns import PP, hot_column
from flatstock.heat.pile import run
end = run(hot_column(PP, thickness=0.003, cells=4, platen_cells=2, moisture=0.01, kind="on_off"), duration=90,
          close_after=30, tolerance=0.5)
print(*[repr(float(t)) for layer in end.pile.layers for t in layer.temperature], end.steps)
"""


def test_uncompiled_kernels_give_the_compiled_answer():
    """The same steps, and temperatures to 1e-6 K (rounding differs where the compiler contracts)."""
    root = Path(__file__).parents[2]
    path = os.pathsep.join([str(SOURCES.parent), str(root)])
    cache = {"NUMBA_CACHE_DIR": os.environ["NUMBA_CACHE_DIR"]} if "NUMBA_CACHE_DIR" in os.environ else {}
    plain, fast = (
        [float(x) for x in python(PRESS, root, **{"PYTHONPATH": path} | cache | how).split()]
        for how in ({"NUMBA_DISABLE_JIT": "1"}, {})
    )
    assert plain[-1] == fast[-1] > 10
    assert plain == pytest.approx(fast, abs=1e-6)


def test_a_user_without_a_home_keeps_kernels_in_a_temporary_folder(monkeypatch):
    """As in a container that runs as a user whom nobody has entered."""

    def homeless():
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.setattr(Path, "home", homeless)
    for name in ("FLATSTOCK_CACHE", "XDG_CACHE_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    assert cache_folder().name.startswith("flatstock-kernels-")


def test_a_part_compiled_beside_that_fails_or_may_not_start_is_compiled_here_without_a_word(monkeypatch):
    with _beside("flatstock.no_such_module") as done:
        assert done() == 1
    with _beside("time; time.sleep(60)") as done:  # broken off: nobody waits for it
        pass
    monkeypatch.setattr(sys, "executable", "/no/such/python")
    with _beside("flatstock.heat.lane_march") as done:
        assert done() is None
