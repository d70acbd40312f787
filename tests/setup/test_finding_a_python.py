"""Which Python is taken, and what is said where none fits."""

import sys
import venv

import pytest

import bootstrap
from bootstrap import FITTING, Python, Stop, candidates, find_python, probe


def a_python(**changes):
    about = {"version": (3, 12), "bits": 64, "maker": "CPython", "free_threaded": False, "path": "/x/python"}
    return Python(**(about | changes))


def machine(**pythons):
    """A machine on which each name starts the given Python."""
    return lambda command: pythons.get(command[0].replace(".", "_"))


def test_the_running_python_describes_itself_truly():
    found = probe([sys.executable])
    assert (found.version, found.bits) == (sys.version_info[:2], 64)
    assert found.fits()


def test_a_python_in_a_folder_whose_name_the_pipe_lacks_letters_for_is_found(tmp_path, monkeypatch):
    """On Windows a pipe takes cp1252 and the installer's folder carries the user's name."""
    there = tmp_path / "Jürgen 板"
    venv.create(there, with_pip=False, symlinks=True)
    for encoding in ("cp1252:strict", "ascii:strict", "utf-8"):
        monkeypatch.setenv("PYTHONIOENCODING", encoding)
        found = probe([bootstrap.python_in(str(there))])
        assert found is not None, encoding
        assert found.path == bootstrap.python_in(str(there))


def test_quotes_around_the_named_python_are_no_part_of_its_name():
    ask = machine(mine=a_python())
    assert find_python({"FLATSTOCK_PYTHON": '"mine"'}, commands=[], ask=ask).path == "/x/python"


def test_a_name_that_starts_nothing_is_passed_over():
    assert probe(["no-such-python-anywhere"]) is None
    assert probe([sys.executable, "-c", "raise SystemExit(127)", "--"]) is None


def test_the_first_fitting_python_is_taken():
    ask = machine(old=a_python(version=(3, 9)), good=a_python(path="/good"), other=a_python())
    assert find_python({}, commands=[["old"], ["good"], ["other"]], ask=ask).path == "/good"


@pytest.mark.parametrize(
    "unfit",
    [
        {"version": (3, 10)},
        {"version": (3, 15)},
        {"bits": 32},
        {"maker": "PyPy"},
        {"free_threaded": True},
    ],
)
def test_a_python_without_wheels_for_it_is_refused_by_name(unfit):
    unfitting = a_python(**unfit)
    with pytest.raises(Stop, match=r"No Python 3\.11, .* was found; there is ") as stop:
        find_python({}, commands=[["p"]], ask=machine(p=unfitting))
    assert str(unfitting) in stop.value.what
    assert "apt install python3 python3-venv" in stop.value.do


def test_where_there_is_no_python_at_all_the_way_to_one_is_said():
    with pytest.raises(Stop, match=r"No Python 3\.11, 3\.12, 3\.13 or 3\.14 .* was found\."):
        find_python({}, commands=[["p"]], ask=machine())


def test_the_python_that_a_person_names_is_the_only_one_tried():
    ask = machine(mine=a_python(version=(3, 8)), good=a_python())
    with pytest.raises(Stop, match=r"FLATSTOCK_PYTHON is CPython 3\.8, 64 bit"):
        find_python({"FLATSTOCK_PYTHON": "mine"}, commands=[["good"]], ask=ask)
    with pytest.raises(Stop, match="FLATSTOCK_PYTHON=gone can't be started"):
        find_python({"FLATSTOCK_PYTHON": "gone"}, commands=[["good"]], ask=ask)


def test_a_version_that_was_asked_for_is_the_only_one_taken():
    ask = machine(a=a_python(version=(3, 11)), b=a_python(version=(3, 13), path="/b"))
    assert find_python({}, "3.13", commands=[["a"], ["b"]], ask=ask).path == "/b"
    with pytest.raises(Stop, match=r"No Python 3\.14 \(64 bit, CPython\) was found"):
        find_python({}, "3.14", commands=[["a"], ["b"]], ask=ask)
    with pytest.raises(Stop, match=r"does not run on Python 3\.9"):
        find_python({}, "3.9", commands=[], ask=ask)


def test_every_fitting_version_is_looked_for_by_name():
    names = [command[0] for command in candidates()]
    assert {f"python{major}.{minor}" for major, minor in FITTING} <= set(names)


@pytest.mark.parametrize("words", [["--python", "3.13", "-q"], ["--python=3.13", "-q"]])
def test_the_checks_take_the_version_from_their_words(words):
    assert bootstrap._take_version(words) == ("3.13", ["-q"])


def test_a_version_that_is_left_out_is_asked_for_before_anything_is_made(capsys):
    assert bootstrap.main(["check", "--python"]) == 1
    assert "--python names no version.\n           Ask for 3.11" in capsys.readouterr().err
