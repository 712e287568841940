"""`bedwright side-by-side` as a person meets it."""

from __future__ import annotations

import json
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner, Result

from bedcli.main import main


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["side-by-side", *map(str, words)])


@pytest.fixture(scope="module")
def works(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("beside") / "demo"
    assert CliRunner().invoke(main, ["new", str(folder), "--demo"]).exit_code == 0
    return folder


def test_two_beds_are_told_and_printed(works: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "beside.pdf"
    result = run(works, "HERON", "PLOVER", "--size", "90x190", "--sheet", sheet, "--json")
    assert result.exit_code == 0, result.output
    told = json.loads(result.stdout)
    assert told["beds"] == ["HERON", "PLOVER"] and told["sheet"] == str(sheet)
    hardness = next(line for line in told["lines"] if line["key"] == "h_tangent")
    assert hardness["results"][0]["interval"][0] < hardness["results"][0]["value"]
    pages = pypdfium2.PdfDocument(sheet)
    page = pages[0]
    assert len(pages) == 1 and page.get_width() > page.get_height()
    text = page.get_textpage().get_text_range()
    assert "PLOVER" in text and "against HERON" in text and "draft" in text.lower()
    again = run(works, "HERON", "PLOVER", "--size", "90x190", "--sheet", sheet)
    assert again.exit_code == 2 and "is there already" in again.output


def test_every_bad_input_is_a_sentence(works: Path, tmp_path: Path) -> None:
    result = run(works, "HERON", "GOOSE", "SWAN", "--size", "9x9", "--person", "baby 600 mm 8 kg", "--replace")
    assert result.exit_code == 2 and "Traceback" not in result.output
    for part in ("GOOSE", "SWAN", "--size", "--person", "--replace goes with --sheet"):
        assert part in result.output, part
    assert "1 beds are named" in run(works, "HERON", "--size", "150x200").output
    assert "5 beds are named" in run(works, *["HERON"] * 5, "--size", "150x200").output
    assert "named twice" in run(works, "HERON", "HERON", "--size", "150x200").output
    assert "--size is missing" in run(works, "HERON", "PLOVER").output
    assert "is a folder" in run(works, "HERON", "PLOVER", "--size", "150x200", "--sheet", tmp_path).output
