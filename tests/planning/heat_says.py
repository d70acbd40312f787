"""What a heat model might say of a mould, made up."""

from __future__ import annotations

from flatstock.pressing.rehearsal import Verdict

__all__ = ["verdict"]


def verdict(sheet: str, word: str, *, more_dwell: float = 0.0) -> Verdict:
    """`more_dwell`: seconds that it asks for in the hot press."""
    return Verdict(
        sheet=sheet, core_at_transfer=150.0, core_at_open=80.0, peak_after=80.0, core_at_demould=40.0, verdict=word,
        more_dwell=more_dwell,
    )  # fmt: skip
