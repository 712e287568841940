"""`bedwright run WORKS`: the whole way, from the cards to the loaded vehicle, into WORKS/out."""

from __future__ import annotations

import json
import resource
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bedcli.bars import Bars
from bedcli.out_folder import new_results, only_run, refuse_strangers
from bedcli.places import day, folder_of
from bedcli.truth import examined

if TYPE_CHECKING:
    from bedwright.reckoning import Reckoning


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option("--as-of", callback=day, metavar="DAY", help="The day that counts as today, as 2026-11-02.")
def run(works: Path, as_of: date | None) -> None:
    """Take the order book of WORKS from the brief to the loaded vehicle; results in WORKS/out.

    Reads the ledger of an adopted works, else its workbook. Refuses, and writes nothing, while a fault is grave or a
    bed's parts do not fit.
    """
    from bedcli.run_table import show_table
    from bedwright.ahead import run_faults
    from bedwright.reckoning import Reckoning

    out = folder_of(works) / "out"
    refuse_strangers(out)
    found = examined(works, as_of)
    if found.works is None or found.grave:
        _refuse([str(fault) for fault in found.grave])
    assert found.works is not None
    with only_run(folder_of(works)), Bars() as bars:
        reckoning = Reckoning(found.works, as_of, told=bars.told)
        grave = [str(fault) for fault in bars.step("beds", lambda: run_faults(reckoning)) if fault.grave]
        if grave:
            bars.stop()
            _refuse(grave)
        _reckon(reckoning, bars)
        _write(reckoning, out, bars)
    show_table(reckoning)
    click.echo(f"\nResults: {out / 'index.html'}")


def _refuse(faults: list[str]) -> None:
    for fault in faults:
        click.echo(fault, err=True)
    count = f"{len(faults)} fault{'' if len(faults) == 1 else 's'}"
    click.echo(f"{count}; nothing was written. Put right what is named and run again.", err=True)
    raise click.exceptions.Exit(1)


def _reckon(reckoning: Reckoning, bars: Bars) -> None:
    keys = reckoning.keys
    bars.step("bill", lambda: [reckoning.bill(*key) for key in keys])
    bars.step("pad tests", lambda: bars.each("pad tests", keys, lambda key: reckoning.curve(*key)))
    bars.step("cuts", lambda: reckoning.cuts)
    bars.step("plan", lambda: (reckoning.plan, reckoning.plan_faults))
    bars.step("loading", lambda: reckoning.loads)
    bars.step("cost", lambda: ([reckoning.cost(*key) for key in keys], reckoning.supply, reckoning.offers))


def _write(reckoning: Reckoning, out: Path, bars: Bars) -> None:
    from bedwright.printing import files

    with new_results(out) as fresh:

        def write() -> None:
            for name, content in files(reckoning, lambda done, of: bars.told("papers", done, of)):
                path = fresh / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)

        bars.step("papers", write)
        timing = {
            "seconds": {name: round(seconds, 3) for name, seconds in bars.seconds.items()},
            "peak_resident_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1),
        }
        (fresh / "timing.json").write_text(json.dumps(timing, indent=2) + "\n", encoding="utf-8")
