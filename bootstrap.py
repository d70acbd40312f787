"""Makes Flatstock's own environment on first use, then starts it. Standard library only.

Called by `./flatstock`, `./check` and `flatstock.cmd`. The syntax is old on purpose: any Python can read
this file, and one that does not fit looks for one that does and hands over to it.

What a person may set:
    FLATSTOCK_PYTHON   the only Python that is tried
    FLATSTOCK_ENV      the folder of the environment (`./check` adds "-check")
    FLATSTOCK_WHEELS   a folder of wheels to install from, without internet
"""

import ast
import glob
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time

FITTING = ((3, 11), (3, 12), (3, 13), (3, 14))
FITTING_TEXT = "Python 3.11, 3.12, 3.13 or 3.14 (64 bit, CPython)"
ROOM_GB = {"run": 1.5, "check": 2.5}  # free disk needed
LOCKS = {"run": "requirements.lock", "check": "requirements-dev.lock"}
STAMP = "stamp"
CHECKOUT = os.path.dirname(os.path.realpath(__file__))
WINDOWS = os.name == "nt"
_PROBE = (
    "import sys, platform, struct; v = sys.version_info;"
    "gil = getattr(sys, '_is_gil_enabled', None);"
    "free = 't' in getattr(sys, 'abiflags', '') or (gil is not None and not gil());"
    "print('%d %d %d %s %d %s' % (v[0], v[1], 8 * struct.calcsize('P'), platform.python_implementation(),"
    " free, (ascii if v[0] > 2 else repr)(sys.executable)))"  # a pipe of Windows may lack a path's letters
)


class Stop(Exception):
    """Why it goes no further: one sentence on what stands in the way, one on what to do."""

    def __init__(self, what, do):
        Exception.__init__(self, what + " " + do)
        self.what, self.do = what, do


class Python(object):
    """An interpreter on this machine, as it describes itself."""

    def __init__(self, version, bits, maker, free_threaded, path):
        self.version, self.bits, self.maker, self.path = version, bits, maker, path
        self.free_threaded = free_threaded

    def fits(self, versions=FITTING):
        """True when the locked packages have wheels for it."""
        return (
            self.version in versions
            and self.bits == 64
            and self.maker == "CPython"
            and not self.free_threaded
        )

    def __str__(self):
        kind = " free-threaded" if self.free_threaded else ""
        return "%s %d.%d%s, %d bit (%s)" % (
            self.maker,
            self.version[0],
            self.version[1],
            kind,
            self.bits,
            self.path,
        )


def probe(command):
    """The Python that `command` (a list of words) starts, or None."""
    try:
        with open(os.devnull, "wb") as nothing:
            words = subprocess.check_output(command + ["-c", _PROBE], stderr=nothing).decode().split(None, 5)
        path = ast.literal_eval(words[5].strip())
        return Python((int(words[0]), int(words[1])), int(words[2]), words[3], words[4] == "1", path)
    except (OSError, ValueError, IndexError, SyntaxError, subprocess.CalledProcessError):
        return None


def candidates(version=None):
    """Commands that may start a Python, likeliest first: this one, by name, where installers put them."""
    names = ["%d.%d" % v for v in reversed(FITTING)] if version is None else [version]
    found = [[sys.executable]] + [["python" + name] for name in names] + [["python3"], ["python"]]
    if WINDOWS:
        found += [["py", "-" + name] for name in names]
    root = os.environ.get("PYENV_ROOT") or os.path.join(os.path.expanduser("~"), ".pyenv")
    for name in names:
        found += [[path] for path in glob.glob(os.path.join(root, "versions", name + ".*", "bin", "python3"))]
        found += [
            [os.path.join(folder, "python" + name)] for folder in ("/usr/local/bin", "/opt/homebrew/bin")
        ]
    return found


def find_python(environ, version=None, commands=None, ask=probe):
    """The first Python that fits; `version` ("3.13") narrows it. Raises Stop."""
    wanted, wanted_text = FITTING, FITTING_TEXT
    if version is not None:
        wanted, wanted_text = _versions(version), "Python %s (64 bit, CPython)" % version
    chosen = environ.get("FLATSTOCK_PYTHON", "").strip('"')  # quotes are part of what cmd.exe sets
    if chosen:
        python = ask([chosen])
        if python is None:
            raise Stop(
                "FLATSTOCK_PYTHON=%s can't be started as a Python." % chosen, "Name %s there." % wanted_text
            )
        if not python.fits(wanted):
            raise Stop("FLATSTOCK_PYTHON is %s." % python, "Name %s there, or unset it." % wanted_text)
        return python
    seen = {}
    for command in candidates(version) if commands is None else commands:
        python = ask(command) if command[0] else None
        if python is not None and python.fits(wanted):
            return python
        if python is not None:
            seen[str(python)] = True
    there = "; there is " + ", ".join(sorted(seen)) if seen else ""
    raise Stop(
        "No %s was found%s." % (wanted_text, there),
        "Install one (Debian 12: apt install python3 python3-venv), or name it in FLATSTOCK_PYTHON.",
    )


def _versions(text):
    match = re.match(r"^(\d+)\.(\d+)$", text)
    version = (int(match.group(1)), int(match.group(2))) if match else None
    if version not in FITTING:
        raise Stop("Flatstock does not run on Python %s." % text, "Ask for 3.11, 3.12, 3.13 or 3.14.")
    return (version,)


def environment_folder(use, environ, version=None):
    """Where the environment of `use` ("run" or "check") stands."""
    folder = environ.get("FLATSTOCK_ENV") or os.path.join(CHECKOUT, ".env-flatstock")
    if use == "check":
        folder += "-check" if version is None else "-check-" + version
    return os.path.abspath(folder)


def python_in(folder):
    """The interpreter of an environment."""
    return os.path.join(folder, "Scripts", "python.exe") if WINDOWS else os.path.join(folder, "bin", "python")


def wanted_stamp(use, checkout=CHECKOUT):
    """What a finished environment carries: whose it is, and the lock that it was made from."""
    with open(os.path.join(checkout, LOCKS[use]), "rb") as lock:
        return b"# " + os.fsencode(checkout) + b"\n" + lock.read()


def is_ready(folder, stamp):
    """True when the environment was finished with exactly this stamp."""
    try:
        with open(os.path.join(folder, STAMP), "rb") as file:
            return file.read() == stamp and os.path.exists(python_in(folder)) and _base_is_there(folder)
    except (IOError, OSError):
        return False


def _base_is_there(folder):
    """On Windows an environment's python.exe only starts the Python that it was made from."""
    with open(os.path.join(folder, "pyvenv.cfg"), "rb") as file:
        home = re.search(r"^home *= *(.*?)\s*$", file.read().decode("utf-8", "replace"), re.MULTILINE)
    return home is None or os.path.isdir(home.group(1))


def check_room(folder, use, free=None):
    """Raises Stop where the disk is too small, a file is in the way, or the folder can't be written."""
    parent = os.path.dirname(folder)
    if os.path.exists(folder) and not os.path.isdir(folder):
        raise Stop("%s is a file." % folder, "Set FLATSTOCK_ENV to a new or an empty folder.")
    try:
        os.makedirs(parent, exist_ok=True)
        # a name of its own, since two starts may probe at once
        handle, probe_file = tempfile.mkstemp(prefix=os.path.basename(folder) + ".probe-", dir=parent)
        os.close(handle)
        os.remove(probe_file)
    except OSError as error:
        raise Stop(
            "%s can't be written (%s)." % (parent, error.strerror),
            "Set FLATSTOCK_ENV to a folder that you may write.",
        )
    left = (shutil.disk_usage(parent).free if free is None else free(parent)) / 1e9
    if left < ROOM_GB[use]:
        raise Stop(
            "The disk of %s has %.1f GB free and the environment needs %.1f GB."
            % (parent, left, ROOM_GB[use]),
            "Make room, or set FLATSTOCK_ENV to a folder on another disk.",
        )


class OneAtATime(object):
    """Holds a lock file, so that a second start waits until the first has set up."""

    def __init__(self, path, say):
        self.path, self.say, self.file = path, say, None

    def __enter__(self):
        self.file = open(self.path, "ab+")
        told = False
        while not self._try():
            if not told:
                self.say("Another start is setting up; waiting for it.")
                told = True
            time.sleep(0.1)
        return self

    def _try(self):
        try:
            if WINDOWS:
                import msvcrt

                self.file.seek(0)
                msvcrt.locking(self.file.fileno(), msvcrt.LK_NBLCK, 1)
            else:
                import fcntl

                fcntl.flock(self.file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return True
        except (IOError, OSError):
            return False

    def __exit__(self, *_):
        self.file.close()  # gives the lock back; the empty file stays, since removing it would race


def _output(command):
    """Exit code and all that `command` prints."""
    work = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    return work.communicate()[0].decode("utf-8", "replace"), work.returncode


_HAS_VENV = "import venv"
_HAS_ENSUREPIP = "import venv, ensurepip"
_HAS_PIP = (
    "import pip, sys; sys.exit(tuple(map(int, pip.__version__.split('.')[:2])) < (22, 3))"  # knows --python
)


def make_venv(python, folder, output=_output):
    """An empty environment in `folder`; returns the start of the pip command that installs into it."""

    def has(what):
        return output([python.path, "-c", what])[1] == 0

    inside = python_in(folder)
    apt = (
        "On Debian or Ubuntu, as root: apt install python%d.%d-venv; elsewhere install Python anew."
        % python.version
    )
    if has(_HAS_ENSUREPIP):
        options, pip = [], [inside, "-m", "pip"]
    elif has(_HAS_VENV) and has(_HAS_PIP):
        options, pip = ["--without-pip"], [python.path, "-m", "pip", "--python", inside]
    else:
        raise Stop(
            "%s has no ensurepip and no pip of 22.3 or newer to fill an environment with." % python, apt
        )
    text, code = output([python.path, "-m", "venv"] + options + [folder])
    if code != 0:
        last = (text.strip().splitlines() or ["no message"])[-1].rstrip(".")
        raise Stop("`%s -m venv` failed: %s." % (python.path, last), apt)
    return pip


def add_checkout(folder, checkout=CHECKOUT):
    """Let the environment import the checkout's own sources."""
    inside = "import sysconfig; print(ascii(sysconfig.get_path('purelib')))"
    packages = ast.literal_eval(subprocess.check_output([python_in(folder), "-c", inside]).decode().strip())
    source = os.path.join(checkout, "src")
    # Python 3.11 and 3.12 read this file in the machine's own encoding, so other letters stand escaped in it
    plain = all(ord(letter) < 128 for letter in source)
    line = source if plain else "import sys; sys.path.append(%s)" % ascii(source)
    with open(os.path.join(packages, "flatstock-checkout.pth"), "w", encoding="ascii") as file:
        file.write(line + "\n")


def warm(folder, say, checkout=CHECKOUT):
    """Compile the kernels once, so that the first card does not wait for it."""
    if not os.path.exists(os.path.join(checkout, "src", "flatstock", "heat", "warm.py")):
        return
    say("Compiling the heat model, once.")
    if subprocess.call([python_in(folder), "-P", "-m", "flatstock.heat.warm"], stdout=sys.stderr) != 0:
        raise Stop(
            "The heat model could not be compiled.", "Start again; if it stays, report what stands above."
        )


def make_environment(use, python, folder, environ, say, checkout=CHECKOUT):
    """An environment with all that the lock names; the stamp comes last, so no stamp means start afresh."""
    stamp = wanted_stamp(use, checkout)
    check_room(folder, use)
    with OneAtATime(folder + ".lock", say):
        if is_ready(folder, stamp):
            return
        began = time.time()
        say("Setting up once in %s with %s." % (folder, python))
        _clear(folder, chosen="FLATSTOCK_ENV" in environ)
        pip = make_venv(python, folder)
        sys.path.insert(0, CHECKOUT)
        from tools.wheels import install  # needs a Python that fits, which this one is by now

        lock = os.path.join(checkout, LOCKS[use])
        failed = install(pip, lock, environ, folder + ".log", say, environ.get("FLATSTOCK_WHEELS"))
        if failed:
            raise Stop(*failed)
        add_checkout(folder, checkout)
        warm(folder, say, checkout)
        with open(os.path.join(folder, STAMP), "wb") as file:
            file.write(stamp)
        say("Ready after %.0f s." % (time.time() - began))


def _clear(folder, chosen):
    """Take an unfinished or outdated environment away, but never a person's own files."""
    if not os.path.isdir(folder):
        return
    if chosen and os.listdir(folder) and not os.path.exists(os.path.join(folder, "pyvenv.cfg")):
        raise Stop("%s holds other files." % folder, "Set FLATSTOCK_ENV to a new or an empty folder.")
    gone = folder + ".old"  # renamed first: a start cut short while deleting leaves no half of it behind
    shutil.rmtree(gone, ignore_errors=True)
    try:
        os.rename(folder, gone)
    except OSError as error:  # Windows: something in it is open
        raise Stop(
            "The old environment in %s can't be taken away (%s)." % (folder, error.strerror),
            "End every Flatstock that is running, then start again.",
        )
    shutil.rmtree(gone, ignore_errors=True)


def start(command, become=not WINDOWS):
    """Become `command`; on Windows, wait for it and pass its exit code on."""
    for name in ("PYTHONHOME", "PYTHONPATH"):
        os.environ.pop(name, None)
    if become:
        return os.execv(command[0], command)
    work = subprocess.Popen(command)
    while True:
        try:
            return work.wait()
        except KeyboardInterrupt:  # it heard Ctrl-C too, and ends in its own way
            continue


def _say(text):
    sys.stderr.write(text + "\n")
    sys.stderr.flush()


def _take_version(words):
    """What `--python X.Y` or `--python=X.Y` asks for (None without it), and the other words."""
    for at, word in enumerate(words):
        if word.startswith("--python="):
            return word[len("--python=") :], words[:at] + words[at + 1 :]
        if word == "--python" and at + 1 < len(words):
            return words[at + 1], words[:at] + words[at + 2 :]
        if word == "--python":
            raise Stop("--python names no version.", "Ask for 3.11, 3.12, 3.13 or 3.14.")
    return None, words


def main(words):
    """`run [words]` starts the command line, `check [--python X.Y] [words]` the checks."""
    use, words = words[0], words[1:]
    version = None
    try:
        if use == "check":
            version, words = _take_version(words)
        if sys.version_info[:2] not in FITTING:
            python = find_python(os.environ)
            options = ["--python", version] if version else []
            return start([python.path, os.path.abspath(__file__), use] + options + words)
        folder = environment_folder(use, os.environ, version)
        if not is_ready(folder, wanted_stamp(use)):
            make_environment(use, find_python(os.environ, version), folder, os.environ, _say)
    except Stop as stop:
        _say("flatstock: %s\n           %s" % (stop.what, stop.do))
        return 1
    except KeyboardInterrupt:
        _say("\nStopped; nothing half-made will be used.")
        return 130
    target = ["-m", "flatstock"] if use == "run" else [os.path.join(CHECKOUT, "tools", "checks.py")]
    return start([python_in(folder), "-P"] + target + words)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
