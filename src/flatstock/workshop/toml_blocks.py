"""A TOML file as its lines: blocks under their headings, and where each value stands, so that one can be changed
and every comment and blank line stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

__all__ = ["Block", "Spot", "added", "blocks_of", "changed", "removed"]

_HEAD = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*(\]\]?)\s*(#.*)?$")
_KEY = re.compile(r"\s*([A-Za-z0-9_-]+|\"[^\"]*\"|'[^']*')\s*=\s*")


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a value stands: its lines, and what is written before, as and after it."""

    first: int  #: index of its first line
    last: int  #: of its last line
    before: str  #: "name = "
    literal: str
    after: str  #: blanks and comment


@dataclass(frozen=True, slots=True)
class Block:
    """What stands under one heading; the lines before the first heading have none."""

    name: str  #: "frames", "room.doors"; "" before the first heading
    listed: bool  #: [[name]]
    first: int  #: index of the heading's line; of the first line where there is none
    end: int  #: index after the last line with something in it
    spots: Mapping[str, Spot] = field(default_factory=dict)


def blocks_of(text: str) -> list[Block]:
    """The blocks of a file that can be read, in their order; the first is always the one without a heading."""
    lines = text.splitlines()
    found: list[Block] = []
    name, listed, first = "", False, 0
    spots: dict[str, Spot] = {}
    last = 0
    at = 0
    while at < len(lines):
        line = lines[at]
        if head := _HEAD.match(line):
            found.append(Block(name, listed, first, last, spots))
            name, listed, first, spots = head[2].strip(), head[1] == "[[", at, {}
            last = at + 1
        elif key := _KEY.match(line):
            spot = _spot(lines, at, key)
            spots[key[1].strip("\"'")] = spot
            at = spot.last
            last = at + 1
        at += 1
    found.append(Block(name, listed, first, last, spots))
    return found


def changed(text: str, at: int, values: Mapping[str, str | None]) -> str:
    """The file with other literals in its block number `at`; None takes a value away."""
    block = blocks_of(text)[at]
    lines: list[str | None] = list(text.splitlines())
    fresh = []
    for name, literal in values.items():
        spot = block.spots.get(name)
        if spot is None:
            if literal is not None:
                fresh.append(f"{name} = {literal}")
            continue
        for n in range(spot.first, spot.last + 1):
            lines[n] = None
        if literal is not None:
            lines[spot.first] = f"{spot.before}{literal}{spot.after}"
    # lines that have moved nowhere keep their place; new ones follow the block's last value
    whole = lines[: block.end] + list(fresh) + lines[block.end :]
    return _joined(whole)


def added(text: str, name: str, values: Mapping[str, str], *, listed: bool) -> str:
    """The file with one more block, after the last of the same name, else at its end.

    Where it says before all headings that there is none (`frames = []`), that goes: a list is written in one way only.
    """
    none = blocks_of(text)[0].spots.get(name)
    if listed and none is not None and none.literal.strip("[] ") == "":
        text = changed(text, 0, {name: None})
    blocks = blocks_of(text)
    head = f"[[{name}]]" if listed else f"[{name}]"
    block = ["", head, *(f"{key} = {literal}" for key, literal in values.items())]
    same = [n for n, one in enumerate(blocks) if one.name == name or one.name.startswith(f"{name}.")]
    lines = text.splitlines()
    at = blocks[same[-1]].end if same else len(lines)
    return _joined([*lines[:at], *block, *lines[at:]])


def removed(text: str, at: int) -> str:
    """The file without a block, and without the blocks that belong to it."""
    blocks = blocks_of(text)
    gone = [blocks[at]]
    for one in blocks[at + 1 :]:
        if not one.name.startswith(f"{blocks[at].name}."):
            break
        gone.append(one)
    lines = text.splitlines()
    return _joined([*lines[: gone[0].first], *lines[gone[-1].end :]])


def _joined(lines: list[str | None] | list[str]) -> str:
    return "\n".join(line for line in lines if line is not None).rstrip("\n") + "\n"


def _spot(lines: list[str], at: int, key: re.Match[str]) -> Spot:
    """Reads on from the equals sign until brackets and strings are closed."""
    column, depth, row = key.end(), 0, at
    start = column
    taken: list[str] = []
    while True:
        line = lines[row]
        end, depth, open_string = _scan(line, column, depth)
        if open_string is not None:  # a string over several lines
            taken.append(line[column:])
            row += 1
            while row < len(lines) - 1 and open_string not in lines[row]:
                taken.append(lines[row])
                row += 1
            line = lines[row]
            column = line.find(open_string) + 3
            taken.append(line[:column])
            end, depth, _ = _scan(line, column, depth)
            taken[-1] += line[column:end]
        else:
            taken.append(line[column:end])
        if depth <= 0 or row + 1 >= len(lines):
            whole = "\n".join(taken)
            literal = whole.rstrip()
            return Spot(at, row, lines[at][:start], literal, whole[len(literal) :] + line[end:])
        row += 1
        column = 0


def _scan(line: str, column: int, depth: int) -> tuple[int, int, str | None]:
    """Where the value ends on this line, how many brackets stay open, and the quotes of a string that goes on."""
    at = column
    while at < len(line):
        letter = line[at]
        if line[at : at + 3] in ('"""', "'''"):
            quotes = line[at : at + 3]
            close = line.find(quotes, at + 3)
            if close < 0:
                return len(line), depth, quotes
            at = close + 3
            continue
        if letter in "\"'":
            at += 1
            while at < len(line) and line[at] != letter:
                at += 2 if line[at] == "\\" and letter == '"' else 1
        elif letter in "[{":
            depth += 1
        elif letter in "]}":
            depth -= 1
        elif letter == "#":
            return at, depth, None
        at += 1
    return len(line), depth, None
