"""What a file holds, as text: or one fault in plain words why it can't be had."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from flatstock.workshop.spots import Notes

__all__ = ["read_bytes", "text_of"]

MOST_BYTES = 20_000_000  #: no file of a workshop is so large; a card must not wait for one that is none
#: how a file begins that is no text
_BEGINNINGS = {
    b"PK\x03\x04": "a spreadsheet or an archive",
    b"\xd0\xcf\x11\xe0": "an old spreadsheet",
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"GIF8": "a picture",
    b"\x1f\x8b": "an archive",
}
_WIDE = (
    (b"\xff\xfe\0\0", "utf-32"),
    (b"\0\0\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)


def read_bytes(path: Path, notes: Notes) -> bytes | None:
    """What a file holds, or None with a fault."""
    what, instead = "", "make it readable"
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            what, instead = "this is a folder, where a file should be", "call the folder otherwise"
        elif not stat.S_ISREG(status.st_mode):
            what, instead = "this is no plain file", "put a plain text file in its place"
        elif status.st_size > MOST_BYTES:
            size = f"{status.st_size / 1e6:.0f} MB"
            what, instead = (
                f"the file has {size}, and no file of a workshop is so large",
                "look what it holds",
            )
        else:
            return path.read_bytes()
    except OSError as error:
        if path.is_symlink() and not path.exists():
            what, instead = "it is a link to a file that is not there", "mend the link, or remove it"
        else:
            what = f"the file can't be read ({error.strerror or os.strerror(error.errno or 0)})"
    notes.broken(path.name, 0, "", what, instead)
    return None


def text_of(file: str, data: bytes, notes: Notes, *, spreadsheet: bool) -> str | None:
    """The text, or None with a fault; what a spreadsheet saves may also be UTF-16 or Windows-1252."""
    how = "save the list as CSV from the spreadsheet" if spreadsheet else "save it as plain text, UTF-8"
    if kind := next((says for start, says in _BEGINNINGS.items() if data.startswith(start)), None):
        notes.broken(file, 0, "", f"this is {kind} by another name, and no text", how)
        return None
    wide = next((name for mark, name in _WIDE if data.startswith(mark)), None)
    if wide is not None and not spreadsheet:
        what = f'this is {wide.upper()} text ("Unicode" in some editors), and TOML is UTF-8'
        notes.broken(file, 0, "", what, "save the file as UTF-8")
        return None
    try:
        text = data.decode(wide or "utf-8-sig")
    except UnicodeDecodeError as error:
        found = _windows_1252(file, data, error, notes) if spreadsheet and wide is None else None
        if found is None:
            _no_text(file, data, error, notes)
            return None
        text = found
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        what = "there are zero bytes here: UTF-16 text without its mark, or no text at all"
        notes.broken(file, line, "", what, "save the file as UTF-8 text")
        return None
    return text


def _windows_1252(file: str, data: bytes, error: UnicodeDecodeError, notes: Notes) -> str | None:
    if b"\0" in data:
        return None
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        return None
    line = data[: error.start].count(b"\n") + 1
    notes.warn(file, line, "", "not UTF-8; read as Windows-1252. Check letters with accents, save as UTF-8.")
    return text


def _no_text(file: str, data: bytes, error: UnicodeDecodeError, notes: Notes) -> None:
    line = data[: error.start].count(b"\n") + 1
    odd = sum(byte < 9 or 13 < byte < 32 for byte in data[:4096])
    if odd > 0.05 * len(data[:4096]):
        notes.broken(file, 0, "", "this is no text", "put a text file in its place, saved as UTF-8")
        return
    notes.broken(file, line, "", f"byte {data[error.start]:#04x} is not UTF-8 text", "save the file as UTF-8")
