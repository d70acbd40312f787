"""Rows of measurements and the table they are printed as."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Peer", "Row", "text_table"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Peer:
    """Somebody else's way to the same answer, measured in the same run."""

    name: str
    seconds: float
    setting: str = ""  #: tolerance and grid
    error: float | None = None  #: relative, against the converged answer
    target: float | None = None  #: how many times slower it should be at least


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One piece of work: our time, the target, and the peers."""

    work: str
    seconds: float
    target: float | None = None  #: [s]
    setting: str = ""
    error: float | None = None
    peers: tuple[Peer, ...] = ()
    note: str = ""  #: what limits it, or how it was measured


def _duration(seconds: float | None) -> str:
    if seconds is None:
        return ""
    if seconds < 0.1:
        return f"{seconds * 1e3:.3g} ms"
    return f"{seconds:.3g} s"


def _error(error: float | None) -> str:
    return "" if error is None else f"{100 * error:.2f} %"


def _times(row: Row, peer: Peer) -> str:
    wanted = "" if peer.target is None else f" (target {peer.target:g})"
    return f"{peer.seconds / row.seconds:.3g} x{wanted}"


def text_table(rows: Sequence[Row]) -> str:
    """A table in Markdown, peers under the row they belong to."""
    head = ("work", "median", "target", "error", "setting")
    lines: list[tuple[str, ...]] = [head, ("---",) * len(head)]
    for row in rows:
        lines.append(
            (row.work, _duration(row.seconds), _duration(row.target), _error(row.error), row.setting)
        )
        lines += [
            (f"- {p.name}", _duration(p.seconds), _times(row, p), _error(p.error), p.setting)
            for p in row.peers
        ]
    widths = [max(len(line[i]) for line in lines) for i in range(len(head))]

    def ruled(line: tuple[str, ...]) -> str:
        fill = "-" if line[0] == "---" else " "
        return "| " + " | ".join(cell.ljust(w, fill) for cell, w in zip(line, widths, strict=True)) + " |"

    notes = [f"- {row.work}: {row.note}" for row in rows if row.note]
    return "\n".join([*map(ruled, lines), "", *notes])
