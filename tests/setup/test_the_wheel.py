"""The wheel: everything in it, nothing else needed."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = ROOT / "src" / "flatstock"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """Built as pip builds it, by the project's own build backend."""
    folder = tmp_path_factory.mktemp("dist")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    (built,) = folder.glob("flatstock-*-py3-none-any.whl")
    return built


@pytest.fixture(scope="module")
def unpacked(wheel, tmp_path_factory):
    folder = tmp_path_factory.mktemp("site")
    zipfile.ZipFile(wheel).extractall(folder)
    return folder


def call(unpacked, cwd, *words):
    """The command from the wheel alone: the checkout's sources are not on the path."""
    code = (
        "import sys; sys.path = [p for p in sys.path if not p.endswith('src')];"
        " sys.path.insert(0, sys.argv.pop(1)); from flatstock.cli import main;"
        " import flatstock; assert flatstock.__file__.startswith(sys.path[0]), flatstock.__file__; sys.exit(main())"
    )
    environ = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"}
    command = [sys.executable, "-P", "-c", code, str(unpacked), *words]
    return subprocess.run(command, cwd=cwd, env=environ, capture_output=True, text=True, encoding="utf-8")


def test_the_wheel_carries_every_source_and_data_file(wheel):
    packed = {name for name in zipfile.ZipFile(wheel).namelist() if name.startswith("flatstock/")}
    hidden = {"__pycache__", ".mypy_cache", ".ruff_cache"}
    sources = {
        f"flatstock/{path.relative_to(SOURCES).as_posix()}"
        for path in SOURCES.rglob("*")
        if path.is_file() and not hidden & set(path.parts) and path.suffix != ".pyc"
    }
    explained = {f"flatstock/{path.relative_to(ROOT).as_posix()}" for path in (ROOT / "docs").rglob("*.md")}
    assert packed == sources | explained
    assert {".toml", ".csv", ".json", ".typ", ".otf"} <= {Path(name).suffix for name in packed}


def test_the_wheel_names_its_command_its_pythons_and_its_licences(wheel):
    inside = zipfile.ZipFile(wheel)
    about = {Path(name).name: name for name in inside.namelist() if ".dist-info/" in name}
    assert "flatstock = flatstock.cli:main" in inside.read(about["entry_points.txt"]).decode()
    metadata = inside.read(about["METADATA"]).decode()
    assert "Requires-Python: <3.15,>=3.11" in metadata
    assert "License-Expression: MIT" in metadata
    assert {"LICENSE", "OFL.txt"} <= about.keys()


def test_the_command_from_the_wheel_starts_and_reads_a_workshop(unpacked, tmp_path):
    done = call(unpacked, tmp_path, "new", "shop", "--demo")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "shop" / "shop.toml").exists()
    done = call(unpacked, tmp_path, "read", "shop", "--json")
    assert done.returncode == 0, done.stderr
    assert '"flatstock.read/1"' in done.stdout
