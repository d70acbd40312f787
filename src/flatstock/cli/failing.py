"""What a person sees when a call does not work: one sentence a fault, never a traceback."""

from __future__ import annotations

import re
import tempfile
import traceback
from collections.abc import Sequence
from pathlib import Path
from time import strftime
from typing import TYPE_CHECKING

from cyclopts import CycloptsError
from cyclopts.exceptions import CoercionError, MissingArgumentError, UnknownOptionError, UnusedCliTokensError

from flatstock.cli.nearest import nearest
from flatstock.errors import Fault, OutOfRange

if TYPE_CHECKING:
    from cyclopts.argument import Argument

__all__ = ["fault_of_engine", "fault_of_words", "report"]

_VALUE = re.compile(r"-[\d.,]")  # a value with a minus before it, which reads like an option


NUMBERS: dict[object, str] = {int: "whole number", float: "number"}


def fault_of_words(
    error: CycloptsError,
    words: Sequence[str],
    options: Sequence[str],
    commands: Sequence[str],
    within: Sequence[str] = (),
) -> Fault:
    """What is wrong with the words of a call; an unknown command or option with the nearest known one.

    `within`: the commands that stand under the first one, where it has any.
    """
    first = words[0] if words and not words[0].startswith("-") else None
    if first is not None and first not in commands:
        near = nearest(first, commands)
        guess = f"did you mean {near}? " if near else ""
        return Fault("", f"there is no command {first}", f"{guess}`flatstock --help` lists all")
    if first is None and words and words[0] not in options:
        near = nearest(words[0], ("--help", "--version"))
        guess = f"did you mean {near}? " if near else "a command comes first; "
        return Fault("", f"there is no option {words[0]}", f"{guess}`flatstock --help` lists all")
    call = f"flatstock {first} --help" if first else "flatstock --help"
    second = words[1] if within and len(words) > 1 and not words[1].startswith("-") else None
    if second is not None and second not in within:
        near = nearest(second, within)
        guess = f"did you mean {near}? " if near else ""
        return Fault("", f"there is no command {first} {second}", f"{guess}`{call}` lists all")
    unknown = [
        word.split("=")[0] for word in words if word.startswith("--") and word.split("=")[0] not in options
    ]
    if unknown and (isinstance(error, UnknownOptionError) or "Did you mean" in str(error)):
        near = nearest(unknown[0], options)
        guess = f"did you mean {near}? " if near else ""
        return Fault("", f"there is no option {unknown[0]}", f"{guess}`{call}` lists all")
    if isinstance(error, MissingArgumentError) and error.argument is not None:
        return _missing(error.keyword or error.argument.name, error.argument, words, call)
    if isinstance(error, UnusedCliTokensError) and error.unused_tokens:
        return _too_many(error.unused_tokens, call)
    if isinstance(error, CoercionError) and error.target_type in NUMBERS and error.token is not None:
        what = f"{error.token.value!r} is no {NUMBERS[error.target_type]}"
        return Fault(error.token.keyword or "", what, f"write one; `{call}` shows how it is written")
    said = " ".join(str(error).split()).rstrip(".")
    return Fault("", said, f"`{call}` shows how it is written")


def _missing(option: str, argument: Argument, words: Sequence[str], call: str) -> Fault:
    """An option without its value, or one that the call can't do without."""
    parameter = argument.parameter
    form = f"{option} {parameter.metavar}" if isinstance(parameter.metavar, str) else option
    meaning = str(parameter.help or "").strip().rstrip(".")
    help_ = f" ({meaning[0].lower()}{meaning[1:]})" if meaning else ""
    if not option.startswith("-"):
        return Fault("", f"{option} is missing", f"write it after the command{help_}")
    if option not in words:
        return Fault("", f"{option} is missing", f"add {form}{help_}; `{call}` lists all")
    after = words[words.index(option) + 1 :]
    if after and _VALUE.match(after[0]):
        return Fault(option, f"{after[0]!r} has a minus before it", f"write {after[0].lstrip('-')}")
    return Fault(option, "its value is missing", f"write {form}{help_}")


def _too_many(tokens: Sequence[str], call: str) -> Fault:
    """Words that belong to no option."""
    listed = ", ".join(repr(token) for token in tokens)
    one = len(tokens) == 1
    what = f"{listed} {'is a word' if one else 'are words'} too many"
    return Fault("", what, f"an option comes before its value; `{call}` shows how it is written")


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
