"""`bedwright print WORKS NAME...`: papers printed from the ledger and kept; a reprint gives the very bytes."""

from __future__ import annotations

import fnmatch
from collections.abc import Iterator
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from bedcli.places import day
from bedcli.truth import examined, opened
from bedwright.errors import NotReadable
from bedwright.words import counted

if TYPE_CHECKING:
    from bedsite.records.models import Snapshot
    from bedwright.reckoning import Reckoning

PRINTED = "printed"
_NOT_KEPT = ("index.html", "summary.json")


@click.command(name="print")
@click.argument("works", type=click.Path(path_type=Path))
@click.argument("names", nargs=-1, metavar="[NAME]...")
@click.option("--list", "list_them", is_flag=True, help="List the papers kept so far, the newest first.")
@click.option("--again", metavar="ID", help="Give a kept paper again: the bytes as they were printed.")
@click.option("--to", type=click.Path(path_type=Path), metavar="FILE", help="With --again: where to write it.")
@click.option("--as-of", callback=day, metavar="DAY", help="The day that counts as today, as 2026-11-02.")
def print_(
    works: Path, names: tuple[str, ...], list_them: bool, again: str | None, to: Path | None, as_of: date | None
) -> None:
    """Print papers of WORKS, keep them in its ledger, and write them into WORKS/printed.

    NAME is a file as a run writes it, as bed-sheets/bed-sheet_heron_150.pdf, or a pattern, as 'job-cards/*'. Kept with
    each paper: every card's revision it was made from, the results it shows, its bytes. Cards and program may change
    afterwards; --again still gives what was printed.
    """
    if sum((bool(names), list_them, again is not None)) != 1 or (to is not None and again is None):
        raise click.UsageError("say what to print, or --list, or --again ID")
    opened(works)
    if list_them:
        _list()
    elif again is not None:
        _again(works, again, to)
    else:
        _print(works, names, as_of)


def _list() -> None:
    from bedsite.records.snapshots import listed

    kept = listed()
    for row in kept:
        click.echo(f"{row.id}  {row.at:%Y-%m-%d %H:%M} UTC  {row.name}  {row.blob.size / 1000:.0f} kB")
    click.echo(f"{counted(len(kept), 'paper')} kept" + (", the newest of them" if len(kept) == 200 else ""))


def _again(works: Path, id_: str, to: Path | None) -> None:
    from bedsite.records.people import new_key
    from bedsite.records.snapshots import again

    row, data = again(id_)
    target = _write(to, data) if to is not None else _written(works, row.name, data)
    _say_printed(row, f"printed:{new_key()}")
    click.echo(f"{target}: {row.name} as it was printed {row.at:%Y-%m-%d %H:%M} UTC, sha256 {row.blob_id}")


def _write(to: Path, data: bytes) -> Path:
    if to.exists():
        raise NotReadable(f"{to} is there already; name another file")
    to.write_bytes(data)
    return to


def _print(works: Path, names: tuple[str, ...], as_of: date | None) -> None:
    from bedwright.ahead import run_faults
    from bedwright.reckoning import Reckoning

    found = examined(works, as_of)
    grave = [str(fault) for fault in found.grave]
    reckoning = None
    if found.works is not None and not grave:
        reckoning = Reckoning(found.works, as_of)
        grave = [str(fault) for fault in run_faults(reckoning) if fault.grave]
    if grave or reckoning is None:
        for says in grave:
            click.echo(says, err=True)
        click.echo(f"{counted(len(grave), 'fault')}; nothing was printed. Put right what is named.", err=True)
        raise click.exceptions.Exit(1)
    _keep(works, reckoning, _wanted(reckoning, names))


def _wanted(reckoning: Reckoning, names: tuple[str, ...]) -> list[tuple[str, bytes]]:
    """The files that were asked for. Raises NotReadable, naming what there is, where a name fits none."""
    found, there = [], []
    missing = set(names)
    for name, data in _files(reckoning):
        there.append(name)
        fits = {one for one in names if fnmatch.fnmatchcase(name, one)}
        missing -= fits
        if fits:
            found.append((name, data))
        if not missing and not any(sign in one for one in names for sign in "*?["):
            return found
    if missing:
        listed = "\n  ".join(there)
        raise NotReadable(f"no paper is called {', '.join(sorted(missing))}; there are\n  {listed}")
    return found


def _files(reckoning: Reckoning) -> Iterator[tuple[str, bytes]]:
    from bedwright.printing import files

    for name, data in files(reckoning):
        if name in _NOT_KEPT:
            return
        yield name, data


def _keep(works: Path, reckoning: Reckoning, papers: list[tuple[str, bytes]]) -> None:
    from bedsite.longwork.papers import MEDIA, paper_word
    from bedsite.records import snapshots
    from bedsite.records.people import command_line
    from bedwright.printing import issue_of
    from bedwright.summary import summary

    whole = summary(reckoning, {})
    issue = asdict(issue_of(reckoning))
    for name, data in papers:
        subject, shows = shown_in(name, whole)
        row = snapshots.keep(
            paper=paper_word(name),
            name=name,
            subject=subject[:64],
            data=data,
            media=MEDIA[name.rpartition(".")[2]],
            results={"issue": issue, "shows": shows},
            who=command_line(),
            revision=reckoning.works.about.revision,
        )
        _say_printed(row, f"printed:{row.id}")
        click.echo(f"{row.id}  {_written(works, name, data)}")


def _say_printed(row: Snapshot, sender: str) -> None:
    from bedsite.records import events
    from bedsite.records.payloads import Printed
    from bedsite.records.people import command_line

    said = Printed(snapshot=row.id, paper=row.paper, name=row.name)
    events.append(said, sender=sender, subject=row.subject, who=command_line())


def _written(works: Path, name: str, data: bytes) -> Path:
    target = works / PRINTED / name
    target.parent.mkdir(parents=True, exist_ok=True)
    part = target.with_name(f".{target.name}.part")
    part.write_bytes(data)
    part.replace(target)
    return target


def shown_in(name: str, whole: dict[str, Any]) -> tuple[str, Any]:
    """What a paper is about (a bed, a van, a book of rows), and the part of a run's summary that it shows."""
    from bedwright.papers.figures import file_stem

    folder, _, file = name.partition("/")
    if not file:
        book = folder.partition(".")[0]
        return book, whole[book]
    if folder in ("bed-sheets", "labels"):
        fits = [
            bed
            for bed in whole["beds"]
            if file in (f"bed-sheet_{file_stem(bed['bed'], bed['size'])}.pdf", f"labels_{file_stem(bed['bed'])}.pdf")
        ]
        return (fits[0]["bed"] if fits else file), fits
    if folder == "job-cards":
        runs = whole["orders"]["works_orders"]
        rows = [one for one in runs if file == f"job-cards_{file_stem(one['van_day'] + ' ' + one['van_round'])}.pdf"]
        return (f"{rows[0]['van_day']} {rows[0]['van_round']}" if rows else file), rows
    loads = [one for one in whole["loading"] if file == f"van-sheet_{one['day']}_{file_stem(one['van_round'])}.pdf"]
    return (f"{loads[0]['day']} {loads[0]['van_round']}" if loads else file), loads
