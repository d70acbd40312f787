"""The pages know each other, the commands and the words."""

import re
from pathlib import Path

import pytest

from flatstock.cli.app import app

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")


def links(page):
    found = LINK.findall(page.read_text(encoding="utf-8"))
    return [(page.parent / target).resolve() for target in found if "://" not in target]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_every_link_of_a_page_leads_somewhere(page):
    assert [str(target) for target in links(page) if not target.exists()] == []


def test_every_page_can_be_reached_from_the_first():
    reached, ahead = set(), [ROOT / "README.md"]
    while ahead:
        page = ahead.pop()
        if page not in reached and page.suffix == ".md":
            reached.add(page)
            ahead += links(page)
    assert sorted(str(page.relative_to(ROOT)) for page in set(PAGES) - reached) == []


def test_every_command_stands_in_the_page_of_commands_with_every_option():
    page = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    for command in (name for name in app if not name.startswith("-")):
        section = re.search(rf"^## `flatstock {command}`.*?(?=^## |\Z)", page, re.MULTILINE | re.DOTALL)
        assert section, command
        for called, of in every_call(app[command], command):
            assert f"`{called}" in section[0], called
            for argument in of.assemble_argument_collection():
                assert re.search(rf"[` ]{argument.name}\b", section[0]), f"{called} {argument.name}"


def every_call(called, name):
    """A command, or those that stand under it, each with its words."""
    within = [one for one in called if not one.startswith("-")]
    if not within:
        return [(f"flatstock {name}", called)]
    return [(f"{name} {one}", called[one]) for one in within]


def test_the_first_page_opens_with_the_job_in_one_paragraph_and_two_commands():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    title, paragraph, *rest = text.split("\n\n")
    assert title.startswith("# ")
    assert len(paragraph.split()) > 40
    first_block = re.search(r"```console\n(.*?)```", "\n\n".join(rest), re.DOTALL)[1]
    assert [line.split("#")[0].strip() for line in first_block.splitlines()] == [
        "$ ./flatstock demo",
        "$ ./check",
    ]
