"""`bedwright weigh-up`: from a brief to the best set of builds, with progress; gone on with where it stopped."""

from __future__ import annotations

import json
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING, Any

import click

from bedcli.truth import examined
from bedwright.errors import Fault, FaultsFound, NotReadable, NotUnderstood

if TYPE_CHECKING:
    from bedcli.weigh_up_workers import Cluster, Pool
    from bedwright.weigh_up import BestSet, Question, Searched, State
    from bedwright.works.works import Works

MOST_WORK, MOST_WORKERS, MOST_SEED = 100_000, 64, 2**31
LARGEST_STATE = 200_000_000


@click.command(name="weigh-up")
@click.argument("works", type=click.Path(path_type=Path))
@click.argument("brief")
@click.option("--work", metavar="N", help="Builds to press: what the search may cost. Never counted in time.")
@click.option("--seed", default="1", show_default=True, help="Same seed, same answer.")
@click.option("--for", "aims", default="", metavar="AIMS", help="What to aim at, as hardness,cost,mass; else as asked.")
@click.option("--bed", "beds", multiple=True, help="Bed to start from, in place of the brief's; may be given again.")
@click.option("--members", default="12", show_default=True, help="Members of the best set solved in full and told.")
@click.option("--workers", default="1", show_default=True, help="Processes of this machine that press.")
@click.option("--cluster", metavar="ADDRESS", help="A dask scheduler: tcp://127.0.0.1:PORT, or tls://HOST:PORT.")
@click.option(
    "--cluster-keys", type=click.Path(path_type=Path), metavar="FOLDER",
    help="ca.pem, cert.pem and key.pem for a scheduler over TLS.",
)  # fmt: skip
@click.option(
    "--state", "state_file", type=click.Path(path_type=Path), metavar="FILE", help="Keep there how far it has come."
)
@click.option("--resume", is_flag=True, help="Go on from --state; the answer is that of an unbroken run.")
@click.option("--draw", type=click.Path(path_type=Path), metavar="FOLDER", help="Write the best set there, as SVG.")
@click.option(
    "--into", type=click.Path(path_type=Path), metavar="FILE",
    help="Write a copy of the works there, as a workbook, with the best set's drafts: to set side by side or print.",
)  # fmt: skip
@click.option(
    "--replace", "write_over", is_flag=True, help="Write over a drawing or --into file that is there already."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def weigh_up(
    works: Path,
    brief: str,
    work: str | None,
    seed: str,
    aims: str,
    beds: tuple[str, ...],
    members: str,
    workers: str,
    cluster: str | None,
    cluster_keys: Path | None,
    state_file: Path | None,
    resume: bool,
    draw: Path | None,
    into: Path | None,
    write_over: bool,
    as_json: bool,
) -> None:
    """Search for builds that answer BRIEF in WORKS, and show the best set: none of it is beaten in all.

    Starts from the brief's bed and varies wire, coil, counts, fillings, thicknesses and edge within the allowed parts.
    Each build is made of cards, must fit and hold the ceilings, is screened on a coarse mesh, and is solved in full
    once it is among the best. Break off with Ctrl-C: what was pressed is kept in --state. See docs/how/weigh-up.md.
    """
    faults: list[Fault] = []
    if work is None:
        faults.append(Fault("--work is missing", "say how many builds may be pressed, as --work 200"))
    most = _whole(work or "1", "--work", 1, MOST_WORK, faults)
    number = _whole(seed, "--seed", 0, MOST_SEED, faults)
    processes = _whole(workers, "--workers", 1, MOST_WORKERS, faults)
    shown = _whole(members, "--members", 1, 60, faults)
    if resume and state_file is None:
        faults.append(Fault("--resume goes with --state", "name the file that holds how far it had come"))
    if cluster is not None and processes > 1:
        faults.append(Fault("--cluster and --workers are both given", "the cluster has workers of its own"))
    if cluster_keys is not None and cluster is None:
        faults.append(Fault("--cluster-keys goes with --cluster", "leave it out, or name the scheduler"))
    if write_over and draw is None and into is None:
        faults.append(Fault("--replace goes with --draw or --into", "leave it out, or name one"))
    card = _works(works)
    asking = _asking(card, brief, aims, beds, faults)
    if faults or asking is None:
        raise FaultsFound(faults)
    state = _state(state_file, resume)
    drawing = None if draw is None else _free(draw, asking, write_over)
    _free_file(into, write_over)
    from bedcli.pad_plain import made_ready

    made_ready()
    begun = perf_counter()
    with _pressing(processes, cluster, cluster_keys) as press:
        found, best = _searched(asking, most, number, press, state, state_file, shown)
    seconds = perf_counter() - begun
    drawn = [] if drawing is None else _drawn(asking, found, best, drawing)
    if into is not None:
        from bedwright.weigh_up import drafts
        from bedwright.works.workbook.writer import write_works

        write_works(card.with_cards(drafts(asking, best)), into)
    from bedcli.weigh_up_sheet import weighed_json, weighed_text

    if as_json:
        told = weighed_json(asking, found, best, number, most, seconds, drawn)
        click.echo(json.dumps(told, indent=2, sort_keys=True, ensure_ascii=False))
    else:
        click.echo(weighed_text(asking, found, best, number))
        if drawn:
            click.echo("\nDrawn:\n" + "\n".join(f"  {name}" for name in drawn))
        if into is not None:
            click.echo(f"\nWorks with the drafts:\n  {into}")


def _whole(text: str, option: str, least: int, most: int, faults: list[Fault]) -> int:
    from bedwright import typed

    try:
        value = typed.number(text)
    except NotUnderstood as error:
        faults.append(Fault(error.fault.says, error.fault.remedy, value=text[:40], field=option))
        return least
    if not (least <= value <= most and value == int(value)):
        says = f"is no whole number from {least} to {most}"
        faults.append(Fault(says, "give one", value=text[:40], field=option))
        return least
    return int(value)


def _works(path: Path) -> Works:
    found = examined(path)
    if found.works is None or found.grave:
        for fault in found.grave:
            click.echo(str(fault), err=True)
        click.echo("Nothing was weighed up. Put right what is named and ask again.", err=True)
        raise click.exceptions.Exit(1)
    return found.works


def _asking(works: Works, brief: str, aims: str, beds: tuple[str, ...], faults: list[Fault]) -> Question | None:
    from bedwright.weigh_up import brief_question

    wanted = [aim.strip() for aim in aims.split(",") if aim.strip()]
    try:
        return brief_question(works, brief, aims=wanted, beds=beds)
    except FaultsFound as error:
        faults += error.faults
        return None


def _state(file: Path | None, resume: bool) -> State | None:
    """The state to go on from. A file that is there is never written over unasked."""
    from bedwright.weigh_up import state_of

    if file is None:
        return None
    if not resume:
        if file.exists():
            raise NotReadable(f"{file} is there already; go on from it with --resume, or name another file for --state")
        return None
    if not file.is_file():
        raise NotReadable(f"{file} is not there; leave --resume out to begin")
    if file.stat().st_size > LARGEST_STATE:
        raise NotReadable(f"{file} is larger than any state of a weigh-up; name another file for --state")
    try:
        text = file.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise NotReadable(f"{file} holds no state of a weigh-up; name another file for --state") from None
    return state_of(text, str(file))


def _keeper(file: Path | None) -> Callable[[State], None] | None:
    if file is None:
        return None

    def keep(state: State) -> None:
        part = file.with_name(f".{file.name}.part")
        try:
            part.write_text(state.text() + "\n", encoding="utf-8")
            part.replace(file)
        except OSError as error:
            raise NotReadable(f"{file} cannot be written: {error.strerror}; name another file for --state") from None

    return keep


@contextmanager
def _pressing(processes: int, cluster: str | None, keys: Path | None) -> Iterator[Pool | Cluster | None]:
    from bedcli.weigh_up_workers import Cluster, Pool

    press: Pool | Cluster | None = None
    if cluster is not None:
        press = Cluster(cluster, keys)
    elif processes > 1:
        press = Pool(processes)
    try:
        yield press
    finally:
        if press is not None:
            press.close()


@contextmanager
def _breaking_off() -> Iterator[Callable[[], bool]]:
    """Ctrl-C ends the search after the batch in hand; a second one ends the program."""
    asked: list[bool] = []
    before = signal.getsignal(signal.SIGINT)

    def ask(_number: int, _frame: Any) -> None:
        asked.append(True)
        signal.signal(signal.SIGINT, before)
        click.echo("Ends after the builds in hand; Ctrl-C again ends it now.", err=True)

    signal.signal(signal.SIGINT, ask)
    try:
        yield lambda: bool(asked)
    finally:
        signal.signal(signal.SIGINT, before)


def _searched(
    asking: Question, work: int, seed: int, press: Any, state: State | None, file: Path | None, shown: int
) -> tuple[Searched, BestSet]:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    from bedwright.weigh_up import best_set, search

    bars = Progress(
        TextColumn("{task.description:<44}"),
        BarColumn(bar_width=28),
        TextColumn("{task.completed:.0f} of {task.total:.0f}"),
        TimeElapsedColumn(),
        console=Console(file=sys.stderr),
    )
    with bars, _breaking_off() as cancelled:
        first = bars.add_task("builds pressed", total=work)

        def told(done: int, _of: int, answers: int) -> None:
            bars.update(first, completed=done, description=f"builds pressed, {answers} answer the brief")

        found = search(
            asking, work, seed, workers=press, told=told, cancelled=cancelled, keep=_keeper(file), state=state
        )
        second = bars.add_task("best set, solved in full", total=shown)
        best = best_set(
            asking, found, seed, workers=press, most=shown,
            told=lambda done, of: bars.update(second, completed=done, total=of),
        )  # fmt: skip
    return found, best


def _free(folder: Path, asking: Question, write_over: bool) -> Path:
    """Where the best set is drawn. Raises NotReadable for a folder that is none, and a drawing that is there."""
    from bedwright.papers.figures import file_stem

    if folder.exists() and not folder.is_dir():
        raise NotReadable(f"{folder} is no folder; name another one for --draw")
    target = folder / f"best-set_{file_stem(asking.ask.brief.code, asking.spaces[0].size)}.svg"
    if target.exists() and not write_over:
        raise NotReadable(f"{target} is there already; name another folder, or write over it with --replace")
    return target


def _free_file(file: Path | None, write_over: bool) -> None:
    if file is None:
        return
    if file.is_dir() or file.suffix.lower() != ".xlsx":
        raise NotReadable(f"{file} is no workbook; name a file for --into, as drafts.xlsx")
    if file.exists() and not write_over:
        raise NotReadable(f"{file} is there already; name another file, or write over it with --replace")
    if not file.parent.is_dir():
        raise NotReadable(f"{file.parent} is no folder; name a file in one that is there for --into")


def _drawn(asking: Question, found: Searched, best: BestSet, target: Path) -> list[str]:
    from bedwright.weighing.drawn import draw_best_set

    svg = draw_best_set(asking, found, best)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        part = target.with_name(f".{target.name}.part")
        part.write_text(svg + "\n", encoding="utf-8")
        part.replace(target)
    except OSError as error:
        raise NotReadable(f"{target} cannot be written: {error.strerror}; name another folder for --draw") from None
    return [str(target)]
