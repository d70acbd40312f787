"""An environment is whole or not there, is made once, and says why where it can't be made."""

import re
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import pytest

import bootstrap
from bootstrap import Stop, is_ready, make_environment, make_venv, python_in, wanted_stamp
from tests.setup.conftest import TinyCheckout, write_wheel
from tools import wheels

pytestmark = pytest.mark.setup
THIS = bootstrap.Python(
    sys.version_info[:2], 64, "CPython", False, getattr(sys, "_base_executable", sys.executable)
)


def has_pip(path):
    return subprocess.call([path, "-c", "import pip"], stderr=subprocess.DEVNULL) == 0


@pytest.fixture(scope="session")
def empty_environment(tmp_path_factory):
    folder = tmp_path_factory.mktemp("empty") / "env"
    make_venv(THIS, str(folder))
    return folder


@pytest.fixture
def copied(empty_environment, monkeypatch):
    """Empty environments are copies of one that was made: where making it isn't what is tested, seconds a test."""

    def copy(python, folder):
        shutil.copytree(empty_environment, folder, symlinks=True)
        return [python_in(folder), "-m", "pip"]

    if has_pip(
        python_in(str(empty_environment))
    ):  # else a pip from outside fills it, by a command of its own
        monkeypatch.setattr(bootstrap, "make_venv", copy)


def make(checkout, folder, *, say=lambda text: None, **environ):
    environ = {"FLATSTOCK_WHEELS": str(checkout.wheels), "PATH": "/usr/bin:/bin"} | environ
    make_environment("run", THIS, str(folder), environ, say, checkout=str(checkout.folder))


def ready(checkout, folder):
    return is_ready(str(folder), wanted_stamp("run", str(checkout.folder)))


def ask(folder, code):
    return subprocess.check_output([python_in(str(folder)), "-c", code], text=True).strip()


def test_the_environment_holds_the_locked_package_and_the_checkout_itself(checkout, tmp_path):
    folder = tmp_path / "env"
    make(checkout, folder)
    assert ask(folder, "import tiny, own; print(tiny.answer, own.said)") == "42 by the checkout"
    assert ready(checkout, folder)


def test_two_starts_at_once_set_up_once(checkout, tmp_path):
    said = []
    with ThreadPoolExecutor(2) as both:
        for start in [both.submit(make, checkout, tmp_path / "env", say=said.append) for _ in range(2)]:
            start.result()
    assert sum(text.startswith("Setting up once") for text in said) == 1
    assert "Another start is setting up; waiting for it." in said


def test_another_lock_or_another_checkout_starts_afresh(copied, checkout, tmp_path):
    folder = tmp_path / "env"
    make(checkout, folder)
    (folder / "left-over").touch()
    checkout.lock((checkout.folder / "requirements.lock").read_text() + "# newer\n")
    assert not ready(checkout, folder)
    make(checkout, folder)
    assert ready(checkout, folder)
    assert not (folder / "left-over").exists()
    assert not is_ready(str(folder), wanted_stamp("run", str(checkout.folder)).replace(b"checkout", b"moved"))


def test_a_set_up_that_was_cut_short_is_not_taken_for_a_whole_one(copied, checkout, tmp_path):
    folder = tmp_path / "env"
    make(checkout, folder)
    (folder / "stamp").unlink()
    assert not ready(checkout, folder)
    make(checkout, folder)
    assert ready(checkout, folder)


def test_an_environment_whose_python_is_gone_is_not_ready(checkout, tmp_path):
    folder = tmp_path / "env"
    (folder / "bin").mkdir(parents=True)
    (folder / "stamp").write_bytes(wanted_stamp("run", str(checkout.folder)))
    (folder / "bin" / "python").symlink_to(tmp_path / "uninstalled")
    assert not ready(checkout, folder)


def test_an_environment_whose_python_was_taken_off_the_machine_is_not_ready(copied, checkout, tmp_path):
    """On Windows its own python.exe stays, and can only say that the other is gone."""
    folder = tmp_path / "env"
    make(checkout, folder)
    about = (folder / "pyvenv.cfg").read_text(encoding="utf-8")
    (folder / "pyvenv.cfg").write_text(
        re.sub("(?m)^home = .*$", "home = /uninstalled", about), encoding="utf-8"
    )
    assert not ready(checkout, folder)
    (folder / "pyvenv.cfg").write_text(about, encoding="utf-8")
    assert ready(checkout, folder)


def test_a_checkout_in_a_folder_with_other_letters_is_found_whatever_the_machines_encoding(copied, tmp_path):
    """Python 3.11 and 3.12 read this file in the machine's encoding, on Windows cp1252: it holds ASCII alone."""
    checkout = TinyCheckout(tmp_path / "Süd 板 100%")
    folder = tmp_path / "env"
    make(checkout, folder)
    assert ask(folder, "import own; print(own.said)") == "by the checkout"
    assert next(folder.rglob("flatstock-checkout.pth")).read_bytes().isascii()


def test_an_old_environment_that_is_in_use_is_left_and_told(copied, checkout, tmp_path, monkeypatch):
    folder = tmp_path / "env"
    make(checkout, folder)
    checkout.lock((checkout.folder / "requirements.lock").read_text() + "# newer\n")

    def in_use(*_):
        raise PermissionError(13, "it is being used")

    monkeypatch.setattr(bootstrap.os, "rename", in_use)
    with pytest.raises(Stop, match=r"can't be taken away \(it is being used\)\. End every Flatstock"):
        make(checkout, folder)
    assert (folder / "pyvenv.cfg").exists()


def test_where_a_process_cannot_become_another_its_exit_code_is_passed_on():
    assert bootstrap.start([sys.executable, "-c", "raise SystemExit(7)"], become=False) == 7


def test_ctrl_c_is_left_to_the_process_that_was_started(monkeypatch):
    class Started:
        heard = 0

        def __init__(self, command):
            pass

        def wait(self):
            Started.heard += 1
            if Started.heard < 3:
                raise KeyboardInterrupt
            return 130

    monkeypatch.setattr(bootstrap.subprocess, "Popen", Started)
    assert bootstrap.start(["flatstock"], become=False) == 130


def test_a_package_with_another_hash_is_not_installed(copied, checkout, tmp_path):
    checkout.lock("tiny==1.0 --hash=sha256:" + "0" * 64 + "\n")
    with pytest.raises(Stop, match="its hash differs.*it was not installed"):
        make(checkout, tmp_path / "env")
    assert not ready(checkout, tmp_path / "env")


def test_a_wheel_that_the_folder_lacks_is_named_with_the_way_to_fetch_it(copied, checkout, tmp_path):
    checkout.lock("absent==2.0 --hash=sha256:" + "0" * 64 + "\n")
    with pytest.raises(Stop, match=r"holds no fitting wheel of absent==2\.0\. Fill it .* pip download"):
        make(checkout, tmp_path / "env")


def test_a_folder_of_wheels_that_is_not_there_is_said(copied, checkout, tmp_path):
    with pytest.raises(Stop, match=r"FLATSTOCK_WHEELS=.*gone is no folder"):
        make(checkout, tmp_path / "env", FLATSTOCK_WHEELS=str(tmp_path / "gone"))


def test_without_a_network_the_way_around_is_said(copied, checkout, tmp_path):
    """A real pip against a port of this machine on which nothing listens."""
    nowhere = {
        "PIP_INDEX_URL": "http://127.0.0.1:9/simple",
        "PIP_CONFIG_FILE": "/dev/null",
        "FLATSTOCK_WHEELS": "",
    }
    with pytest.raises(Stop, match="package source can't be reached.*FLATSTOCK_WHEELS"):
        make(checkout, tmp_path / "env", **nowhere)


def test_a_persons_own_files_are_never_cleared_away(checkout, tmp_path):
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "letter.txt").touch()
    with pytest.raises(Stop, match="mine holds other files"):
        make(checkout, folder, FLATSTOCK_ENV=str(folder))
    assert (folder / "letter.txt").exists()


def test_a_disk_that_is_too_small_is_said_in_gigabytes(tmp_path):
    with pytest.raises(Stop, match=r"has 0\.9 GB free and the environment needs 1\.5 GB"):
        bootstrap.check_room(str(tmp_path / "env"), "run", free=lambda parent: 0.9e9)
    with pytest.raises(Stop, match=r"needs 2\.5 GB"):
        bootstrap.check_room(str(tmp_path / "env"), "check", free=lambda parent: 2.4e9)
    bootstrap.check_room(str(tmp_path / "env"), "run", free=lambda parent: 1.6e9)


def test_a_folder_that_cannot_be_written_is_said(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(Stop, match="can't be written"):
        bootstrap.check_room(str(tmp_path / "file" / "env"), "run")


def test_a_file_where_the_environment_should_stand_is_said(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(Stop, match="file is a file. Set FLATSTOCK_ENV to a new or an empty folder"):
        bootstrap.check_room(str(tmp_path / "file"), "run")


def test_packages_from_a_folder_of_wheels_are_counted_as_they_come(copied, checkout, tmp_path):
    said = []
    checkout.lock("".join(write_wheel(checkout.wheels, f"tiny_{letter}") for letter in "abcdef"))
    make(checkout, tmp_path / "env", say=said.append)
    assert "  6 of about 6 packages, now tiny_f" in said


def answers(*, ensurepip=False, venv=True, pip=True, makes=0, text=""):
    """A Python that has some of what is needed, for `make_venv`."""
    asked = []

    def output(command):
        asked.append(command)
        if command[1:3] == ["-m", "venv"]:
            return text, makes
        what = command[2]
        return "", 0 if (ensurepip if "ensurepip" in what else pip if "pip" in what else venv) else 1

    return output, asked


def test_without_ensurepip_the_systems_pip_fills_the_environment(tmp_path):
    output, asked = answers()
    pip = make_venv(THIS, str(tmp_path / "env"), output)
    assert pip == [THIS.path, "-m", "pip", "--python", python_in(str(tmp_path / "env"))]
    assert "--without-pip" in asked[-1]


def test_a_systems_pip_really_fills_an_environment_that_has_none(checkout, tmp_path):
    owner = next(path for path in (THIS.path, sys.executable) if has_pip(path))
    subprocess.check_call([THIS.path, "-m", "venv", "--without-pip", str(tmp_path / "env")])
    pip = [owner, "-m", "pip", "--python", python_in(str(tmp_path / "env"))]
    lock, log = str(checkout.folder / "requirements.lock"), str(tmp_path / "log")
    assert not wheels.install(
        pip, lock, {"PATH": "/usr/bin:/bin"}, log, lambda text: None, str(checkout.wheels)
    )
    assert ask(tmp_path / "env", "import tiny; print(tiny.answer)") == "42"


@pytest.mark.parametrize("lacking", [{"pip": False}, {"pip": False, "venv": False}])
def test_with_neither_ensurepip_nor_pip_the_one_apt_line_is_said(lacking, tmp_path):
    with pytest.raises(Stop, match=r"no ensurepip and no pip.*apt install python3\.\d+-venv"):
        make_venv(THIS, str(tmp_path / "env"), answers(**lacking)[0])


def test_a_venv_that_fails_passes_its_last_word_on(tmp_path):
    output, _ = answers(ensurepip=True, makes=1, text="noise\nError: Read-only file system\n")
    with pytest.raises(Stop, match="venv` failed: Error: Read-only file system"):
        make_venv(THIS, str(tmp_path / "env"), output)


@pytest.mark.parametrize(
    ("printed", "told"),
    [
        ("ERROR: Could not install packages: [Errno 28] No space left on device", "disk filled up"),
        ("ERROR: No matching distribution found for numba==0.68.1", r"no wheel of numba==0\.68\.1 for this platform"),
        ("WARNING: Retrying (Retry(total=1)) after ... name resolution\nERROR: No matching distribution found for x==1",
         "can't be reached"),
        ("ERROR: something new", "pip could not install: ERROR: something new"),
    ],
)  # fmt: skip
def test_each_failure_of_pip_becomes_one_sentence(printed, told):
    what, do = wheels.reason(printed, "/x/log", "requirements.lock")
    assert re.search(told, what)
    assert do


def test_settings_that_would_bend_the_installation_are_left_out():
    kept = wheels.pip_environment({"PIP_TARGET": "/elsewhere", "PYTHONPATH": "/mine", "PIP_INDEX_URL": "u"})
    assert kept["PIP_INDEX_URL"] == "u"
    assert not {"PIP_TARGET", "PYTHONPATH"} & kept.keys()
