"""`bedwright export` and `import`: a view goes out stamped, comes back as a difference, and is taken in whole."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from bedwright.works.workbook.csv_folder import read_csv_folder, write_csv_folder
from bedwright.works.workbook.reader import examine

Run = Callable[..., Result]
Edited = Callable[..., Path]


def test_export_and_import_again_is_no_difference(adopted: Path, run: Run, tmp_path: Path) -> None:
    assert run("export", adopted, tmp_path / "view.xlsx").exit_code == 0
    assert run("export", adopted, f"{tmp_path}/csv/").exit_code == 0
    for view in (tmp_path / "view.xlsx", tmp_path / "csv", adopted / "works.xlsx"):
        done = run("import", adopted, view, "--apply")
        assert done.exit_code == 0 and "The file changed nothing" in done.output, done.output
    from bedsite.records import ledger

    stamp = ledger.revision_now()
    found = examine(tmp_path / "view.xlsx").works
    assert found is not None and found.about.revision == read_csv_folder(tmp_path / "csv").about.revision == stamp


def test_import_shows_and_does_nothing_until_told(adopted: Path, run: Run, edited: Edited) -> None:
    from bedsite.records import ledger

    # L13, R40, W10, W19, W22 stand on rows 2 to 6
    file = edited(adopted / "works.xlsx", {"wires": {"D6": 2.3, "A7": "NEW", "D7": 1.1}, "order_lines": {"E2": 5}})
    before = ledger.revision_now()
    done = run("import", adopted, file)
    assert done.exit_code == 0, done.output
    assert "wire: 1 added, 1 changed (of 5)" in done.output
    assert "diameter [mm]: 2.2 -> 2.3" in done.output and "added    NEW" in done.output
    assert "--apply" in done.output and ledger.revision_now() == before
    done = run("import", adopted, file, "--apply", "--why", "new wire delivered")
    assert done.exit_code == 0 and "Taken in: 3 cards" in done.output
    from bedsite.records import cards

    assert ledger.read_works().wires["W22"].diameter == 2.3
    assert cards.history("wire", "NEW")[0].why == "new wire delivered"


def test_the_works_own_view_is_renewed_after_it_was_taken_in(adopted: Path, run: Run, edited: Edited) -> None:
    from bedcli.truth import unread

    file = edited(adopted / "works.xlsx", {"wires": {"D6": 2.3}})
    (adopted / "works.xlsx").write_bytes(file.read_bytes())
    assert "saved since" in unread(adopted)
    refused = run("export", adopted)
    assert refused.exit_code == 2 and "import it first" in refused.output
    assert run("import", adopted, adopted / "works.xlsx", "--apply").exit_code == 0
    assert unread(adopted) == ""
    assert run("export", adopted).exit_code == 0


def test_a_clash_is_shown_on_both_sides_and_kept_aside(adopted: Path, run: Run, edited: Edited, me: str) -> None:
    from bedsite.records import cards, ledger

    file = edited(adopted / "works.xlsx", {"wires": {"D6": 2.3}})
    wire = ledger.read_works().wires["W22"]
    cards.put(wire.model_copy(update={"diameter": 2.5}), expected=1, who=me)
    done = run("import", adopted, file, "--apply")
    assert "file    diameter [mm]: 2.2 -> 2.3" in done.output
    assert "ledger  diameter [mm]: 2.2 -> 2.5" in done.output
    assert "1 card kept aside" in done.output
    assert ledger.read_works().wires["W22"].diameter == 2.5
    assert len(cards.open_asides("wire", "W22")) == 1


def test_much_gone_needs_its_number(adopted: Path, run: Run, edited: Edited) -> None:
    from bedsite.records import ledger

    file = edited(adopted / "works.xlsx", {}, delete={"prices": [2, 3, 4, 5]})
    done = run("import", adopted, file, "--apply")
    assert done.exit_code == 2 and "price=4" in done.output
    assert run("import", adopted, file, "--apply", "--gone", "price=3").exit_code == 2
    assert run("import", adopted, file, "--apply", "--gone", "price").exit_code == 2
    count = len(ledger.read_works().prices)
    assert run("import", adopted, file, "--apply", "--gone", "price=4").exit_code == 0
    assert len(ledger.read_works().prices) == count - 4


@pytest.mark.parametrize(("typed", "taken"), [("4\ny\n", True), ("4\nn\n", False), ("40\ny\n", False)])
def test_at_a_terminal_it_asks(
    adopted: Path, edited: Edited, typed: str, taken: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    from click.testing import CliRunner

    from bedcli import import_
    from bedcli.main import main
    from bedsite.records import ledger

    monkeypatch.setattr(import_, "at_terminal", lambda: True)
    file = edited(adopted / "works.xlsx", {}, delete={"prices": [2, 3, 4, 5]})
    before = ledger.revision_now()
    done = CliRunner().invoke(main, ["import", str(adopted), str(file)], input=typed)
    assert done.exit_code == 0, done.output
    assert (ledger.revision_now() > before) is taken


def test_faults_are_named_by_cell_and_nothing_is_taken_in(adopted: Path, run: Run, edited: Edited) -> None:
    from bedsite.records import ledger

    file = edited(adopted / "works.xlsx", {"wires": {"D2": "thick", "D3": 2.4}, "coils": {"D2": "W99"}})
    before = ledger.revision_now()
    done = run("import", adopted, file, "--apply")
    assert done.exit_code == 1 and "(D2)" in done.output and "2 faults; nothing was taken in" in done.output
    assert ledger.revision_now() == before


def test_what_cannot_be_compared_is_refused(adopted: Path, run: Run, edited: Edited, tmp_path: Path) -> None:
    view = adopted / "works.xlsx"
    other = edited(view, {"about": {"C2": "another"}})
    assert "of the works 'another'" in run("import", adopted, other, "--apply").output
    newer = edited(view, {"about": {"G2": 99999}})
    assert "has reached" in run("import", adopted, newer, "--apply").output
    assert run("import", adopted, tmp_path / "nowhere.xlsx").exit_code == 2
    assert "was not adopted" in run("import", tmp_path, view).output


def test_export_writes_over_nothing(adopted: Path, run: Run, tmp_path: Path) -> None:
    file = tmp_path / "view.xlsx"
    file.write_text("mine")
    assert run("export", adopted, file).exit_code == 2 and file.read_text() == "mine"
    assert run("export", adopted, file, "--replace").exit_code == 0
    folder = tmp_path / "papers"
    folder.mkdir()
    (folder / "letter.txt").write_text("mine")
    assert run("export", adopted, folder, "--csv", "--replace").exit_code == 2
    assert (folder / "letter.txt").read_text() == "mine"
    assert run("export", adopted, tmp_path / "view.pdf").exit_code == 2


def test_an_earlier_revision_goes_out_too(adopted: Path, run: Run, me: str, tmp_path: Path) -> None:
    from bedsite.records import cards, ledger

    before = ledger.revision_now()
    cards.put(ledger.read_works().wires["W22"].model_copy(update={"diameter": 2.5}), expected=1, who=me)
    assert run("export", adopted, tmp_path / "then.xlsx", "--at", before).exit_code == 0
    then = examine(tmp_path / "then.xlsx").works
    assert then is not None and (then.wires["W22"].diameter, then.about.revision) == (2.2, before)


def test_csv_comes_in_too(adopted: Path, run: Run, tmp_path: Path) -> None:
    from bedsite.records import ledger

    found = ledger.read_works()
    about = found.about.model_copy(update={"words": '=1+1, "quoted"\nsecond line'})
    write_csv_folder(type(found).of(about, found.all_cards()), tmp_path / "csv")
    done = run("import", adopted, tmp_path / "csv", "--apply")
    assert done.exit_code == 0 and "about: 1 changed" in done.output
    assert ledger.read_works().about.words == '=1+1, "quoted"\nsecond line'


def test_what_a_command_writes_of_a_ledger_is_its_owners_alone(adopted: Path, run: Run, tmp_path: Path) -> None:
    import os

    before = os.umask(0o022)
    try:
        done = run("export", adopted, tmp_path / "mine.xlsx")
        assert done.exit_code == 0, done.output
        assert (tmp_path / "mine.xlsx").stat().st_mode & 0o777 == 0o600
        mask = os.umask(0o022)
        assert mask == 0o022, "the next command's own business"
    finally:
        os.umask(before)
