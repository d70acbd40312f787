"""The `flatstock` command: reads the words, calls one action, prints the answer, and gives the exit code.

0: answered. 1: refused or impossible. 2: the words of the call are wrong. Nothing heavy is imported here
or at the head of a command's module: `flatstock --help` must come at once.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from cyclopts import App, CycloptsError, Parameter

from flatstock import __version__
from flatstock.cli import show
from flatstock.cli.commands.card import card
from flatstock.cli.commands.correct import correct
from flatstock.cli.commands.demo import demo
from flatstock.cli.commands.frame import frame
from flatstock.cli.commands.new import new
from flatstock.cli.commands.open import open_app
from flatstock.cli.commands.outlay import outlay
from flatstock.cli.commands.plan import plan
from flatstock.cli.commands.promise import promise
from flatstock.cli.commands.read import read
from flatstock.cli.commands.records import records
from flatstock.cli.commands.room import room
from flatstock.cli.commands.stack import stack
from flatstock.cli.commands.supply import supply
from flatstock.cli.commands.wallchart import wallchart
from flatstock.cli.failing import fault_of_engine, fault_of_words, report
from flatstock.cli.streams import prepare
from flatstock.errors import OutOfRange, UserError, WrongWords

__all__ = ["app", "main"]

app = App(
    name="flatstock",
    version=__version__,
    help="What to weigh, how long to press, when to open: for workshops that press flake into sheets.",
    default_parameter=Parameter(negative=(), show_default=False),
    help_format="plaintext",
    suppress_keyboard_interrupt=False,
)
for command in (demo, new, read, card, frame, correct, stack, wallchart, plan, promise, room, supply, outlay):
    app.command(command)
app.command(open_app, name="open")
app.command(records)


def main(words: Sequence[str] | None = None) -> int:
    """Run one call; its exit code. `words` are those after `flatstock`, else those of the process."""
    said = _folder_last(_with_now(list(sys.argv[1:] if words is None else words)))
    for stream in (sys.stdout, sys.stderr):
        prepare(stream)
    as_json = "--json" in said
    show.in_units_of(None)
    try:
        result = app(said, exit_on_error=False, print_error=False, result_action="return_value")
        sys.stdout.flush()
    except KeyboardInterrupt:
        show.aside("Stopped.")
        return 130
    except BrokenPipeError:  # whoever read the answer has closed it: `flatstock card ... | head`
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except CycloptsError as error:
        show.refusal(
            [fault_of_words(error, said, _options(said), _commands(), _within(said))], as_json=as_json
        )
        return WrongWords.exit_code
    except UserError as error:
        show.refusal(error.faults, as_json=as_json)
        return error.exit_code
    except OutOfRange as error:
        show.refusal([fault_of_engine(error)], as_json=as_json)
        return 1
    except Exception as error:  # a mistake of ours: never a traceback, but a report that can be passed on
        show.refusal([report(error, said)], as_json=as_json)
        return 1
    return result if isinstance(result, int) else 0


def _with_now(said: list[str]) -> list[str]:
    """`--from-now` may stand alone; the parser wants a word after it."""
    filled: list[str] = []
    for word, after in zip(said, [*said[1:], "--"], strict=True):
        filled.append(word)
        if word == "--from-now" and after.startswith("-"):
            filled.append("now")
    return filled


def _folder_last(said: list[str]) -> list[str]:
    """The folder may stand at the end, after lots: `--lot` takes every word up to the next option."""
    options = [n for n, word in enumerate(said) if word.startswith("-")]
    lots = options and said[options[-1]] == "--lot" and len(said) > options[-1] + 2
    if lots and "=" not in said[-1] and Path(said[-1]).is_dir():
        return [*said[:-1], "--", said[-1]]
    return said


def _commands() -> list[str]:
    """Every command there is."""
    return sorted(name for name in app if not name.startswith("-"))


def _within(words: Sequence[str]) -> list[str]:
    """The commands that stand under the one that was called."""
    called = app[words[0]] if words and words[0] in _commands() else None
    return [] if called is None else sorted(name for name in called if not name.startswith("-"))


def _options(words: Sequence[str]) -> list[str]:
    """Every option of the command that was called."""
    called: App = app
    for word in words:
        if word.startswith("-") or word not in called:
            break
        called = called[word]
    arguments = called.assemble_argument_collection() if called.default_command else ()
    known = {name for argument in arguments for name in argument.names if name.startswith("--")}
    return sorted(known | {"--help", "--version"})
