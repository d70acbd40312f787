"""What is wrong with a line that is no TOML, in the words of whoever wrote it."""

from __future__ import annotations

import re

__all__ = ["ends_open", "hint", "too_deep"]

DEEPEST = 100  #: brackets open at once; no file of a workshop needs ten, and the parser has no floor
_BARE = r"^\s*[\w.\-]+\s*=\s*"
_LINES = (
    (re.compile("[“”„‟«»‘’]"), "the quotation marks are curly", 'write straight ones, "'),
    (re.compile(_BARE + r"[-+]?\d+,\d+\s*(#|$)"), "a number has a decimal comma",
     'write a point, or put it in quotation marks, as in "180,5"'),
    (re.compile(_BARE + r"[-+]?[\d.,/\s]*\d\s*[A-Za-z°%\"'′″]"), "a number has a unit behind it",
     'put both in quotation marks, as in "180 mm"'),
    (re.compile(r"^\s*[\w.\-]+\s*:"), "a colon stands where = should", "write key = value"),
    (re.compile(_BARE + r"[A-Za-z_][\w\- ]*\s*(#|$)"), "text has no quotation marks", 'write it as in "on_off"'),
    (re.compile(_BARE + r"(#|$)"), "nothing stands behind the =", "write a value, or take the line out"),
    (re.compile(_BARE + r"\"[^\"]*$"), "the quotation mark is not closed", 'end the text with "'),
)  # fmt: skip


def hint(line: str, reason: str) -> tuple[str, str]:
    """What is wrong, and what would be right; `reason` is the parser's where the line tells nothing by itself."""
    if "duplicate" in reason:
        return "the same key or table stands here twice", "give each once"
    for pattern, what, instead in _LINES:
        if pattern.search(line):
            return what, instead
    general = (
        "text needs quotation marks, numbers a dot, each line one key = value, and each bracket its other end"
    )
    return f"this is not TOML: {reason}", general


def ends_open(line: str) -> bool:
    """Whether nothing stands behind the = of a line."""
    return re.search(_BARE + r"(#|$)", line) is not None


def too_deep(text: str) -> int | None:
    """The line on which more brackets are open than any file needs, or None."""
    depth = 0
    for match in re.finditer(r"[\[{\]}\n]", text):
        sign = match[0]
        depth = 0 if sign == "\n" and depth < 0 else depth + (sign in "[{") - (sign in "]}")
        if depth > DEEPEST:
            return text.count("\n", 0, match.start()) + 1
    return None
