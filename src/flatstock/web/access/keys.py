"""Paired devices, pairing codes and PINs; kept in one file of the workshop's folder that only its owner reads.

Secrets are kept as digests: of a device's long random secret SHA-256, of a PIN argon2id, which is slow on purpose
since a PIN is short.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from hashlib import sha256
from hmac import compare_digest
from pathlib import Path
from typing import Any, Literal

from flatstock.errors import Fault, Refused

__all__ = ["Device", "Keys", "Role"]

Role = Literal["lead", "operator", "visitor"]
FILE = "access.json"
CODE_SECONDS = 600.0  #: how long a pairing code holds
LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"  #: of a code: none that are mistaken for each other
LETTERS_IN_CODE = 8
LEAST_PIN, MOST_PIN = 4, 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """A paired device."""

    id: str
    name: str
    role: Role
    secret: str  #: digest
    since: str  #: ISO instant


@dataclass
class Keys:
    """Everything that lets somebody in."""

    folder: Path
    clock: Callable[[], float] = time.monotonic
    _codes: dict[str, tuple[Role, float]] = field(default_factory=dict)
    _lock: threading.RLock = field(default_factory=threading.RLock)

    def devices(self) -> list[Device]:
        """Paired devices, by name."""
        return sorted((Device(**one) for one in self._read()["devices"]), key=lambda one: (one.name, one.id))

    def code(self, role: Role) -> str:
        """A fresh pairing code, good once and for ten minutes."""
        with self._lock:
            self._drop_old()
            code = "".join(secrets.choice(LETTERS) for _ in range(LETTERS_IN_CODE))
            self._codes[code] = (role, self.clock() + CODE_SECONDS)
            return code

    def role_of(self, code: str) -> Role | None:
        """What a code pairs as; None: no such code, or it is over."""
        with self._lock:
            self._drop_old()
            found = self._codes.get(_plain(code))
            return None if found is None else found[0]

    def pair(self, code: str, name: str, since: str) -> tuple[Device, str] | None:
        """Use a code up: the device and what it must show from now on; None: no such code, or it is over."""
        with self._lock:
            self._drop_old()
            found = self._codes.pop(_plain(code), None)
            if found is None:
                return None
            device_id, secret = secrets.token_hex(6), secrets.token_urlsafe(32)
            device = Device(
                id=device_id,
                name=name.strip()[:40] or f"device {device_id[:4]}",
                role=found[0],
                secret=_digest(secret),
                since=since,
            )
            said = self._read()
            said["devices"].append(asdict(device))
            self._write(said)
            return device, f"{device_id}.{secret}"

    def device_of(self, shown: str) -> Device | None:
        """The device that shows this; None: none does."""
        device_id, _, secret = shown.partition(".")
        found = next((one for one in self.devices() if one.id == device_id), None)
        if found is None or not compare_digest(found.secret, _digest(secret)):
            return None
        return found

    def forget(self, device: str) -> None:
        """A device is no longer paired."""
        with self._lock:
            said = self._read()
            said["devices"] = [one for one in said["devices"] if one["id"] != device]
            self._write(said)

    def set_pin(self, person: str, pin: str) -> None:
        """A PIN for a lead. Raises `Refused` where it is none."""
        if not pin.isdecimal() or not LEAST_PIN <= len(pin) <= MOST_PIN or len(set(pin)) == 1:
            what = f"a PIN has {LEAST_PIN} to {MOST_PIN} digits, not all the same"
            raise Refused(Fault("PIN", what, "write another"))
        from argon2 import PasswordHasher

        with self._lock:
            said = self._read()
            said["pins"][person] = PasswordHasher().hash(pin)
            self._write(said)

    def leads(self) -> list[str]:
        """Who has a PIN."""
        return sorted(self._read()["pins"])

    def pin_fits(self, person: str, pin: str) -> bool:
        """Whether this is the person's PIN."""
        from argon2 import PasswordHasher
        from argon2.exceptions import Argon2Error, InvalidHashError

        kept = self._read()["pins"].get(person)
        if kept is None:
            return False
        try:
            return PasswordHasher().verify(kept, pin)
        except (Argon2Error, InvalidHashError):
            return False

    @property
    def records_are_open(self) -> bool:
        """Whether a sheet's record page may be seen by anybody."""
        return bool(self._read()["open_records"])

    def open_records(self, yes: bool) -> None:
        """Let anybody see a sheet's record page, or no longer."""
        with self._lock:
            self._write(self._read() | {"open_records": yes})

    @property
    def serves_the_shop(self) -> bool:
        """Whether the app listens to the shop's network when it is started here, without being told so each time."""
        return bool(self._read()["serves_the_shop"])

    def serve_the_shop(self, yes: bool) -> None:
        """From its next start on it does, or no longer."""
        with self._lock:
            self._write(self._read() | {"serves_the_shop": yes})

    def secret(self) -> bytes:
        """What the tokens of forms are made with; made once, kept."""
        with self._lock:
            said = self._read()
            if not said["secret"]:
                said["secret"] = self._spare = secrets.token_hex(32)
                if (
                    self.folder / "shop.toml"
                ).is_file():  # a folder in which a workshop is to be started stays empty
                    with contextlib.suppress(Refused):  # can't be written: good while the server runs
                        self._write(said)
            return bytes.fromhex(said["secret"])

    _spare: str = ""

    def _drop_old(self) -> None:
        now = self.clock()
        self._codes = {code: entry for code, entry in self._codes.items() if entry[1] > now}

    def _read(self) -> dict[str, Any]:
        path = self.folder / FILE
        said: dict[str, Any] = {}
        try:
            said = json.loads(path.read_text("utf-8"))
        except FileNotFoundError:
            pass
        except (OSError, ValueError) as error:
            what = f"can't be read ({error})"
            raise Refused(Fault(FILE, what, "mend it, or take it away and pair again")) from None
        usual = {"devices": [], "pins": {}, "open_records": False, "serves_the_shop": False}
        return {**usual, "secret": self._spare} | said

    def _write(self, said: dict[str, Any]) -> None:
        path, half = self.folder / FILE, self.folder / f".{FILE}.part"
        try:
            with os.fdopen(
                os.open(half, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="utf-8"
            ) as out:
                json.dump(said, out, indent=1)
                out.flush()
                os.fsync(out.fileno())
            half.replace(path)
        except OSError as error:
            with contextlib.suppress(OSError):  # nor can anything be taken away there
                half.unlink(missing_ok=True)
            raise Refused(
                Fault(FILE, f"can't be written ({error.strerror or error})", "make room, or make it writable")
            ) from None


def _digest(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()


def _plain(code: str) -> str:
    return "".join(letter for letter in code.upper() if letter in LETTERS)
