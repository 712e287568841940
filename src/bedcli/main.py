"""`bedwright`: the door to all commands. Each lives in its own file and is read only when it is called.

To add one: write src/bedcli/NAME.py with a click command, and one line in COMMANDS.
"""

from __future__ import annotations

import importlib
import sys
from dataclasses import dataclass
from typing import Any

import click

from bedwright import __version__
from bedwright.errors import BedwrightError
from bedwright.mechanics.compiled import drop_stale

EXIT_REFUSED = 2


@dataclass(frozen=True, slots=True)
class Entry:
    """A command: module and name of its click object, and the line shown by --help without reading the module."""

    module: str
    name: str
    says: str


COMMANDS: dict[str, Entry] = {
    "new": Entry("bedcli.new", "new", "A works to start from: a small starter, or the invented demo."),
    "faults": Entry("bedcli.faults", "faults", "Every fault of a works' workbook, each by its cell."),
    "run": Entry("bedcli.run", "run", "The whole way: bill, cost, cuts, plan, papers, loaded vans."),
    "adopt": Entry("bedcli.adopt", "adopt", "Take a works' workbook into a ledger, which counts from then on."),
    "export": Entry("bedcli.export", "export", "A view of the ledger: a workbook or CSV, stamped with its revision."),
    "import": Entry("bedcli.import_", "import_", "Show what a file changed, and take it in all or nothing."),
    "backup": Entry("bedcli.backup", "backup", "Copy the ledger while everybody goes on working."),
    "restore": Entry("bedcli.restore", "restore", "Make a backup the ledger of a new works, checked row by row."),
    "verify": Entry("bedcli.verify", "verify", "Read the whole ledger again, against its chain of hashes."),
    "release": Entry("bedcli.release", "release", "Give order lines works orders, runs and serials that last."),
    "print": Entry("bedcli.print_", "print_", "Print papers and keep them; a reprint gives the very bytes."),
    "serve": Entry("bedcli.serve", "serve", "The pages of an adopted works, on this machine or for several."),
    "owner": Entry("bedcli.owner", "owner", "Make an owner, or give one who forgot the password a new one."),
    "pad-test": Entry("bedcli.pad_test", "pad_test", "Force over depth and hardness H of a bed, before it is made."),
    "lying": Entry("bedcli.lying", "lying", "Persons lying on a bed: pressure, sinks and spine, for comparing beds."),
    "learn": Entry("bedcli.learn", "learn", "What your own tests of a bed say of what its cards leave open."),
    "weigh-up": Entry("bedcli.weigh_up", "weigh_up", "From a brief to the best set of builds, each with its gains."),
    "side-by-side": Entry("bedcli.side_by_side", "side_by_side", "Two to four beds: each result, each difference."),
    "coil": Entry("bedcli.coil", "coil", "Rate, force, stress, wire and solid height of one coil."),
}


class LateGroup(click.Group):
    """A group that lists its commands from a table and reads a command's file only when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        entry = COMMANDS.get(cmd_name)
        if entry is None:
            return None
        command = getattr(importlib.import_module(entry.module), entry.name)
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, entry.says) for name, entry in COMMANDS.items()])

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except BedwrightError as error:
            click.echo(str(error), err=True)
            raise click.exceptions.Exit(EXIT_REFUSED) from None
        except OSError as error:
            where = f" {error.filename}" if error.filename else ""
            click.echo(
                f"cannot write or read{where}: {error.strerror or error}; free the place and run again", err=True
            )
            raise click.exceptions.Exit(EXIT_REFUSED) from None
        except Exception as error:
            below = sys.modules.get("bedsite.records.troubles")  # only where a ledger was opened
            says = below.sentence(error) if below is not None else ""
            if not says:
                raise
            click.echo(says, err=True)
            raise click.exceptions.Exit(EXIT_REFUSED) from None


@click.group(cls=LateGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, "--version", prog_name="bedwright", message="%(prog)s %(version)s")
def main() -> None:
    """From the brief to the loaded vehicle: engineering, planning and papers for makers of sprung mattresses.

    The program computes; it certifies nothing.
    """
    drop_stale()
