"""A tiny checkout that needs one tiny package, so that a whole set-up takes a second and no network."""

from __future__ import annotations

import hashlib
import zipfile
from pathlib import Path

import pytest


def write_wheel(folder: Path, name: str = "tiny", version: str = "1.0") -> str:
    """A wheel that pip installs; returns its line in a lock, with its hash."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{name}-{version}-py3-none-any.whl"
    info = f"{name}-{version}.dist-info"
    with zipfile.ZipFile(path, "w") as wheel:
        wheel.writestr(f"{name}.py", "answer = 42\n")
        wheel.writestr(f"{info}/METADATA", f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n")
        wheel.writestr(f"{info}/WHEEL", "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n")
        wheel.writestr(f"{info}/RECORD", f"{name}.py,,\n{info}/METADATA,,\n{info}/WHEEL,,\n{info}/RECORD,,\n")
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    return f"{name}=={version} --hash=sha256:{digest}\n"


class TinyCheckout:
    """A checkout with one locked package and one module of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.wheels = folder, folder / "wheels"
        (folder / "src" / "own").mkdir(parents=True)
        (folder / "src" / "own" / "__init__.py").write_text("said = 'by the checkout'\n", encoding="utf-8")
        self.lock(write_wheel(self.wheels))

    def lock(self, text: str) -> None:
        """Write the lock files."""
        for name in ("requirements.lock", "requirements-dev.lock"):
            (self.folder / name).write_text(text)


@pytest.fixture
def checkout(tmp_path: Path) -> TinyCheckout:
    return TinyCheckout(tmp_path / "checkout")
