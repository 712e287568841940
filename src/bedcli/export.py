"""`bedwright export WORKS [FILE]`: a view of the ledger as a workbook or a folder of CSV, stamped with its revision."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bedcli.places import WORKBOOK, folder_mode
from bedcli.truth import opened, unread, write_view
from bedwright.errors import NotReadable
from bedwright.words import counted

if TYPE_CHECKING:
    from bedwright.works.works import Works


@click.command(name="export")
@click.argument("works", type=click.Path(path_type=Path))
@click.argument("file", required=False)
@click.option("--csv", "as_csv", is_flag=True, help="A folder of CSV; so is a FILE that ends with /.")
@click.option("--at", "revision", type=int, metavar="REVISION", help="The works as it stood at an earlier revision.")
@click.option("--replace", is_flag=True, help="Write over a file that is there already.")
def export(works: Path, file: str | None, as_csv: bool, revision: int | None, replace: bool) -> None:
    """Write the works in the ledger of WORKS to FILE, or anew to WORKS/works.xlsx.

    The view holds the revision it was taken from in its sheet about, so that import can tell what you changed in it
    from what others changed meanwhile. The ledger is only read.
    """
    opened(works)
    from bedsite.records.ledger import read_works, works_at

    found = read_works() if revision is None else works_at(revision)
    if file is None and not as_csv:
        if unread(works) and not replace:
            raise NotReadable(
                f"{works / WORKBOOK} holds changes that the ledger has not; import it first, name another file, "
                "or write over it with --replace"
            )
        target = write_view(works, found)
    else:
        target = _target(works, file, as_csv)
        _write(found, target, bool(as_csv or (file or "").endswith("/")), replace)
    count = counted(sum(1 for _ in found.all_cards()), "card")
    click.echo(f"{target}: {found.about.name}, {count}, revision {found.about.revision}")


def _target(works: Path, file: str | None, as_csv: bool) -> Path:
    target = Path(file) if file is not None else works / "works-csv"
    if target.resolve() == (works / WORKBOOK).resolve():
        raise NotReadable(f"{target} is the works' own view; leave FILE out to write it anew")
    return target


def _write(found: Works, target: Path, as_csv: bool, replace: bool) -> None:
    from bedwright.works.workbook.csv_folder import write_csv_folder
    from bedwright.works.workbook.writer import write_works

    if not as_csv:
        if target.exists() and not replace:
            raise NotReadable(f"{target} is there already; name another file, or write over it with --replace")
        if target.suffix.lower() != ".xlsx":
            raise NotReadable(f"{target} ends with no .xlsx; name a workbook, or a folder of CSV with / at its end")
        write_works(found, target)
        return
    if target.exists() and (not target.is_dir() or any(file.suffix != ".csv" for file in target.iterdir())):
        raise NotReadable(f"{target} is there already and is no folder of CSV; name another")
    if target.is_dir() and any(target.iterdir()) and not replace:
        raise NotReadable(f"{target} is there already; name another folder, or write over it with --replace")
    part = Path(tempfile.mkdtemp(prefix=".csv-", dir=target.resolve().parent))
    try:
        part.chmod(folder_mode())
        write_csv_folder(found, part)
        if target.exists():
            shutil.rmtree(target)
        part.rename(target)
    finally:
        shutil.rmtree(part, ignore_errors=True)
