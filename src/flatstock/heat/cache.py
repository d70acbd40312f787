"""Where compiled kernels are kept.

numba's own cache goes stale when a function called from another file changes, and it raises where it
cannot write. So the folder's name carries a hash of every kernel source and of the versions of
Python, numba and numpy: a changed kernel finds an empty folder. Must be imported before numba.
"""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
from importlib.metadata import version
from pathlib import Path

__all__ = ["cache_folder", "fingerprint", "use_cache"]


def fingerprint(sources: Path | None = None) -> str:
    """Of the kernels' sources (None: these here) and of the versions that compile them."""
    digest = hashlib.sha256()
    for file in sorted((sources or Path(__file__).parent).glob("*.py")):
        digest.update(file.name.encode())
        digest.update(file.read_bytes())
    for part in (sys.version, version("numba"), version("numpy"), version("llvmlite")):
        digest.update(part.encode())
    return digest.hexdigest()[:16]


def cache_folder(sources: Path | None = None) -> Path:
    """The user's cache folder for exactly these kernel sources; a temporary one where that can't be written."""
    try:
        folder = _root() / "kernels" / fingerprint(sources)
        folder.mkdir(parents=True, exist_ok=True)
        probe = folder / f".probe-{os.getpid()}"
        probe.touch()
        probe.unlink()
    except (OSError, RuntimeError):
        return Path(tempfile.mkdtemp(prefix="flatstock-kernels-"))
    return folder


def _root() -> Path:
    """Where a user's caches are on this system. Raises `RuntimeError` for a user without a home."""
    if base := os.environ.get("FLATSTOCK_CACHE"):
        return Path(base)
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home()) / "flatstock"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches" / "flatstock"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "flatstock"


def use_cache() -> None:
    """Point numba at the folder, unless the user has chosen one or numba is already loaded."""
    if "numba" not in sys.modules:
        os.environ.setdefault("NUMBA_CACHE_DIR", str(cache_folder()))
