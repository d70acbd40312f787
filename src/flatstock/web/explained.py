"""The written explanations of the folder `docs`, to be read in the app: a shop without internet looks them up there."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from itertools import pairwise
from pathlib import Path, PurePosixPath

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup, escape

__all__ = ["ADDRESS", "Explanation", "explanation", "explanations", "linked"]

ADDRESS = "/how"
_APART = ("architecture",)  #: for whoever changes the app
_NAMED = re.compile(r"docs/([a-z-]+(?:/[a-z-]+)?)\.md")


@dataclass(frozen=True, slots=True)
class Explanation:
    """One of them."""

    name: str  #: below `docs`, without `.md`
    title: str
    html: Markup  #: all of it, its title too


def explanations() -> list[Explanation]:
    """All, by title."""
    return sorted(_all().values(), key=lambda one: one.title.lower())


def explanation(name: str) -> Explanation | None:
    """The one of that name below `docs`, without `.md`; None: there is none."""
    return _all().get(name)


def linked(text: object) -> Markup:
    """A source as a page says it: where it names one of these, its title, leading there.

    >>> linked("heat model, docs/heat.md, [S5]")
    Markup('heat model, <a href="/how/heat">Heat: when the core has melted, when a mould may be opened</a>, [S5]')
    >>> linked("3 < 4, docs/nothing.md")
    Markup('3 &lt; 4, docs/nothing.md')
    """

    def link(found: re.Match[str]) -> str:
        known = explanation(found[1])
        return found[0] if known is None else f'<a href="{ADDRESS}/{known.name}">{escape(known.title)}</a>'

    return Markup(_NAMED.sub(link, str(escape(text))))  # what is put in is escaped


@cache
def _all() -> dict[str, Explanation]:
    reads = MarkdownIt("commonmark", {"html": False}).enable("table")
    # a wide table is moved sideways by itself; a keyboard gets there too
    reads.add_render_rule("table_open", lambda *_: '<div class="wide" tabindex="0"><table>\n')
    reads.add_render_rule("table_close", lambda *_: "</table></div>\n")
    written = dict(_written(_folder()))
    return {name: _read(reads, name, text, written) for name, text in written.items()}


def _folder() -> Traversable:
    """Beside the code where it is installed, else that of the checkout."""
    packed = files("flatstock") / "docs"
    return packed if packed.is_dir() else Path(__file__).parents[3] / "docs"


def _written(folder: Traversable, above: str = "") -> Iterator[tuple[str, str]]:
    for one in folder.iterdir() if folder.is_dir() else ():
        if one.is_dir():
            yield from _written(one, f"{above}{one.name}/")
        elif one.name.endswith(".md") and (name := above + one.name.removesuffix(".md")) not in _APART:
            yield name, one.read_text("utf-8")


def _read(reads: MarkdownIt, name: str, text: str, known: dict[str, str]) -> Explanation:
    tokens = reads.parse(text)
    for mark, inside in pairwise(tokens):
        if mark.type == "heading_open":
            mark.attrSet("id", _anchor(inside.content))
    for token in tokens:
        if token.type in ("th_open", "td_open") and token.attrs.pop("style", ""):
            token.attrSet("class", "number")  # no page has styles of its own within it
        _lead(token.children or (), name, known)
    return Explanation(
        name, _title(text), Markup(reads.renderer.render(tokens, reads.options, {}))
    )  # html is off


def _title(text: str) -> str:
    """Each begins with it."""
    return text.partition("\n")[0].removeprefix("# ").strip()


def _lead(inline: Sequence[Token], name: str, known: dict[str, str]) -> None:
    """Links among these lead to their pages; others are words only, since what they name may be out of reach."""
    leads, to = True, ""
    for token in inline:
        if token.type == "link_open":
            address, _, anchor = str(token.attrGet("href")).partition("#")
            to = name if not address else _below(name, address)
            leads = to in known
            token.attrSet("href", f"{ADDRESS}/{to}" + (f"#{anchor}" if anchor else ""))
            token.hidden = not leads
        elif token.type == "link_close":
            token.hidden, to = not leads, ""
        elif to and leads and token.content.endswith(".md"):
            token.content = _title(known[to]).partition(":")[0]


def _below(name: str, address: str) -> str:
    """What an address that stands in one of these names.

    >>> _below("files/shop", "../heat.md"), _below("planning", "files/shop.md")
    ('heat', 'files/shop')
    """
    parts: list[str] = []
    for part in (PurePosixPath(name).parent / address).parts:
        if part == ".." and parts:
            parts.pop()
        else:
            parts.append(part)
    return "/".join(parts).removesuffix(".md")


def _anchor(heading: str) -> str:
    """As the places where such files are shown make it: small letters, hyphens for spaces, no other signs."""
    return re.sub(r"[^\w\- ]", "", heading.lower()).strip().replace(" ", "-")
