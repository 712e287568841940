"""The docs point at what is there, and the page of proofs leaves no check against the outside unnamed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bedcli.main import COMMANDS
from bedwright.books import BOOKS

ROOT = Path(__file__).parent.parent
PAGES = sorted([*(ROOT / "docs").rglob("*.md"), *ROOT.glob("*.md")])
PROOF = (ROOT / "docs" / "why" / "proof.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_and_paths_of_a_page_lead_somewhere(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    links = [link.split("#")[0] for link in re.findall(r"\]\(([^)\s]+)\)", text) if "://" not in link]
    named = re.findall(r"`((?:src|tests|examples|demo|docs|measures|tools)/[\w./-]+)`", text)
    dead = [link for link in links if link and not (page.parent / link).exists()]
    dead += [path for path in named if not (ROOT / path).exists()]
    assert dead == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_commands_in_a_page_exist(page: Path) -> None:
    said = re.findall(r"(?:`|bin/)bedwright ([a-z-]+)", page.read_text(encoding="utf-8"))
    assert set(said) <= set(COMMANDS)


def test_every_check_against_the_outside_is_on_the_page_of_proofs() -> None:
    there = {f"tests/worked/{path.name}" for path in (ROOT / "tests" / "worked").glob("test_*.py")}
    assert set(re.findall(r"`(tests/worked/test_\w+\.py)`", PROOF)) == there


def test_every_book_on_the_page_of_proofs_is_known() -> None:
    rows = [line.split(" | ") for line in PROOF.splitlines() if line.startswith("| ") and "---" not in line]
    books = {key for row in rows for key in re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+", row[1])}
    assert len(books) > 40
    assert sorted(books - set(BOOKS)) == []
