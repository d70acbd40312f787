"""The tests' browser: the system's, else Debian's unpacked beside the environment, else one sentence why not."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tools.browser import PROGRAM, bring_browser, find_browser

pytestmark = [
    pytest.mark.setup,
    pytest.mark.skipif(sys.platform == "win32", reason="apt and its stand-in are POSIX scripts"),
]
#: downloads two "packages"; `dpkg` unpacks the browser from one and a library from the other
APT = """#!/bin/sh
echo "$@" >> "$(dirname "$0")/asked"
for word; do case "$word" in Dir::Cache=*) cache="${word#Dir::Cache=}";; esac; done
case "$*" in *install*) touch "$cache/archives/browser.deb" "$cache/archives/library.deb";; esac
"""
DPKG = """#!/bin/sh
case "$2" in
*browser.deb) mkdir -p "$3/usr/lib/chromium"; printf '#!/bin/sh\\necho "$LD_LIBRARY_PATH"' > "$3/usr/lib/chromium/chromium"
    chmod +x "$3/usr/lib/chromium/chromium";;
*) mkdir -p "$3/usr/lib/x86_64-linux-gnu/deeper"; touch "$3/usr/lib/x86_64-linux-gnu/deeper/liba.so.1";;
esac
"""


@pytest.fixture
def programs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of programs that come before the system's."""
    folder = tmp_path / "programs"
    folder.mkdir()
    monkeypatch.setenv("PATH", f"{folder}{os.pathsep}{os.environ['PATH']}")
    return folder


def program(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8")
    path.chmod(0o755)


def bare(name: str) -> str | None:
    """A machine with apt and dpkg and no browser."""
    return {"apt-get": "apt-get", "dpkg": "dpkg"}.get(name)


def test_the_systems_browser_is_taken_as_it_is(tmp_path):
    found = find_browser(tmp_path, {"chromium-browser": "/usr/bin/chromium-browser"}.get)
    assert found is not None
    assert (found.path, found.environ) == ("/usr/bin/chromium-browser", {})


def test_without_one_debians_is_unpacked_whole_with_its_libraries_and_nothing_is_installed(
    tmp_path, programs
):
    program(programs / "apt-get", APT)
    program(programs / "dpkg", DPKG)
    own = tmp_path / "browser"
    assert find_browser(own, bare) is None
    assert bring_browser(own, bare) is None
    found = find_browser(own, bare)
    assert found is not None
    assert found.path == str(own / PROGRAM)
    fonts = ElementTree.parse(found.environ["FONTCONFIG_FILE"]).getroot()
    assert [entry.text for entry in fonts.iter("dir")] == [str(own / "usr/share/fonts")]
    assert [entry.text for entry in fonts.iter("include")] == ["/etc/fonts/fonts.conf"]
    said = subprocess.run([found.path], env=os.environ | found.environ, capture_output=True, text=True).stdout
    assert str(own / "usr/lib/x86_64-linux-gnu/deeper") in said
    update, install = (programs / "asked").read_text().splitlines()
    assert "update" in update
    assert "--download-only" in install
    assert all("Dir::State::lists=" + str(tmp_path) in line for line in (update, install))
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith("browser")] == ["browser"]


def test_where_it_can_not_be_fetched_apts_last_word_is_told_and_nothing_is_left(tmp_path, programs):
    program(
        programs / "apt-get",
        "#!/bin/sh\necho reading\necho 'E: Unable to locate package chromium'\nexit 100\n",
    )
    own = tmp_path / "browser"
    assert bring_browser(own, bare) == (
        "No Chromium could be fetched (E: Unable to locate package chromium). As root: apt install chromium."
    )
    assert find_browser(own, bare) is None
    assert not list(tmp_path.glob("browser*"))


def test_a_machine_without_apt_is_told_to_bring_one(tmp_path):
    why = bring_browser(tmp_path / "browser", lambda name: None)
    assert why == "No Chromium was found. Install one so that it can be started as `chromium`."
