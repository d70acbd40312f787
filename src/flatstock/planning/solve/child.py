"""`python -m flatstock.planning.solve.child`: solves models that come in on standard input, until it closes.

In: ("solve", number, model as text, settings), then perhaps ("stop", number). Out: ("ready", 0) once, then
("found", number, values, value, bound) for every plan met and ("ended", number, answer) at last. Nothing else is
written to standard output.
"""

from __future__ import annotations

import os
import pickle
import sys
import threading
from collections.abc import Sequence
from queue import SimpleQueue
from typing import Any, BinaryIO

from flatstock.planning.solve.cpsat import Search, model_of

__all__ = ["serve"]


def serve(asked: BinaryIO, answers: BinaryIO) -> None:
    """Solve one model after the other; ends the process when nobody is there to ask any more."""
    tasks: SimpleQueue[tuple[int, Search]] = SimpleQueue()
    running: dict[int, Search] = {}

    def listen() -> None:
        while True:
            try:
                word, number, *more = pickle.load(asked)
            except EOFError:
                os._exit(0)  # whoever asked is gone; a search that still runs is of no use
            if word == "solve":
                text, settings = more
                running[number] = Search(model_of(text), settings)
                tasks.put((number, running[number]))
            elif number in running:
                running[number].stop()

    def say(*words: Any) -> None:
        pickle.dump(words, answers)
        answers.flush()

    threading.Thread(target=listen, daemon=True).start()
    say("ready", 0)
    while True:
        number, search = tasks.get()

        def tell(values: Sequence[int], value: float, bound: float, number: int = number) -> bool:
            say("found", number, list(values), value, bound)
            return False

        say("ended", number, search.run(tell))
        del running[number]


if __name__ == "__main__":
    out = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(
        sys.stderr.fileno(), sys.stdout.fileno()
    )  # what a library prints must not come between the answers
    serve(sys.stdin.buffer, out)
