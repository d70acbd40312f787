"""What a person sees when a call does not work: one sentence a fault, never a traceback."""

from __future__ import annotations

import tempfile
import traceback
from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path
from time import strftime

from cyclopts import CycloptsError
from cyclopts.exceptions import UnknownCommandError, UnknownOptionError

from flatstock.errors import Fault, OutOfRange

__all__ = ["fault_of_engine", "fault_of_words", "report"]

NEAR = 0.6  # how like another word must be to be offered


def fault_of_words(error: CycloptsError, words: Sequence[str], options: Sequence[str]) -> Fault:
    """What is wrong with the words of a call; an unknown option with the nearest known one."""
    call = f"flatstock {words[0]} --help" if words and not words[0].startswith("-") else "flatstock --help"
    unknown = [
        word.split("=")[0] for word in words if word.startswith("--") and word.split("=")[0] not in options
    ]
    if unknown and (isinstance(error, UnknownOptionError) or "Did you mean" in str(error)):
        near = get_close_matches(unknown[0], options, n=1, cutoff=NEAR)
        instead = f"did you mean {near[0]}? `{call}` lists all" if near else f"`{call}` lists all"
        return Fault("", f"there is no option {unknown[0]}", instead)
    said = " ".join(str(error).split()).rstrip(".")
    if isinstance(error, UnknownCommandError):
        return Fault("", said, "`flatstock --help` says what each is for")
    return Fault("", said, f"`{call}` shows how it is written")


def fault_of_engine(error: OutOfRange) -> Fault:
    """A question that lies outside what a formula or the solver holds for."""
    return Fault(
        "", f"this lies outside what the model holds for: {error}", "ask for something nearer to usual"
    )


def report(error: BaseException, words: Sequence[str]) -> Fault:
    """Write what happened into a file of the temporary folder, for whoever mends it."""
    text = f"flatstock {' '.join(words)}\n\n{''.join(traceback.format_exception(error))}"
    try:
        prefix = f"flatstock-{strftime('%Y%m%d-%H%M%S')}-"
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", prefix=prefix, suffix=".txt", delete=False
        ) as file:
            file.write(text)
        where = f"what happened stands in {Path(file.name)}; please pass it on"
    except OSError:
        where = "and no report could be written; please pass on the words of the call"
    return Fault(
        "", f"flatstock came upon something that it should have foreseen ({type(error).__name__})", where
    )
