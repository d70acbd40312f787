"""The heat model compiled before it is first asked, so that nobody waits for it without a word."""

from __future__ import annotations

from collections.abc import Callable

from flatstock.heat.warm import is_warm, warm

__all__ = ["compile_first"]

WORDS = "Compiling the heat model, once after an installation or a change; a minute or two:"


def compile_first(say: Callable[[str], None]) -> None:
    """Compile what these sources have not compiled here yet; `say` hears what is being done, or nothing."""
    if is_warm():
        return
    say(WORDS)
    taken = warm(lambda part: say(f"  {part}"))
    say(f"Compiled in {taken:.0f} s.")
