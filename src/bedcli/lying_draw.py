"""The drawings of persons lying as SVG files of a folder, and their sheet as a PDF; nothing written over unasked."""

from __future__ import annotations

from pathlib import Path

from bedcli.lying_told import LyingAsked, link_words
from bedwright import __version__
from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import NotReadable
from bedwright.mechanics.lying import Lies
from bedwright.papers.drawings.body_on_bed import body_on_bed
from bedwright.papers.drawings.pressure_map import pressure_map
from bedwright.papers.drawings.two_person_section import two_person_section
from bedwright.papers.figures import Issue, file_stem
from bedwright.papers.lying_figures import marks_of
from bedwright.papers.lying_sheet import lying_sheet


def names(bed: BedAtSize, lies: tuple[Lies, ...]) -> dict[str, str]:
    """File names by what they show, before anybody lies down."""
    stem = file_stem(bed.bed.code, bed.size.code, "-".join(one.posture for one in lies))
    found = {"pressure-map": f"pressure-map_{stem}.svg", "across": f"across_{stem}.svg"}
    for index in range(len(lies)):
        found[f"side {index}"] = f"from-the-side_{stem}{f'_{index + 1}' if len(lies) > 1 else ''}.svg"
    return found


def refuse_taken(
    folder: Path | None, sheet: Path | None, bed: BedAtSize, lies: tuple[Lies, ...], replace: bool
) -> None:
    """Raises NotReadable for places that cannot be written, and for files there already unless they may go."""
    if folder is not None:
        if folder.exists() and not folder.is_dir():
            raise NotReadable(f"{folder} is no folder; name another one for --draw")
        taken = sorted(name for name in names(bed, lies).values() if (folder / name).exists())
        if taken and not replace:
            held = ", ".join(taken)
            raise NotReadable(f"{folder} holds {held} already; name another folder, or write over them with --replace")
    if sheet is not None:
        if sheet.is_dir():
            raise NotReadable(f"{sheet} is a folder; name a file for --sheet, as {sheet / 'lying.pdf'}")
        if sheet.exists() and not replace:
            raise NotReadable(f"{sheet} is there already; name another file, or write over it with --replace")
        if not sheet.parent.is_dir():
            raise NotReadable(f"{sheet.parent} is no folder; name a file in one that is there for --sheet")


def draw(asked: LyingAsked, folder: Path) -> list[str]:
    """Write every drawing; their paths, in order. All are drawn before the first is written."""
    marks = marks_of(asked.lies, asked.bed)
    found = {
        "pressure-map": pressure_map(asked.lying, 112.0, asked.joint),
        "across": two_person_section(asked.lying, joint=asked.joint),
    }
    for index, one in enumerate(marks):
        found[f"side {index}"] = body_on_bed(asked.lying, index, marks=one)
    called = names(asked.bed, asked.lies)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for what, svg in found.items():
            _write(folder / called[what], (svg + "\n").encode())
    except OSError as error:
        raise NotReadable(f"{folder} cannot be written: {error.strerror}; name another folder for --draw") from None
    return sorted(str(folder / called[what]) for what in found)


def print_sheet(asked: LyingAsked, path: Path) -> str:
    """Write the sheet; its path."""
    about = asked.works.about
    issue = Issue(about.name, about.revision, asked.works.content(), about.as_of, __version__)
    marks = marks_of(asked.lies, asked.bed)
    paper = lying_sheet(issue, asked.bed, asked.lying, marks=marks, joint=asked.joint, turned=asked.turned,
                        sure=asked.sure, more=_more(asked))  # fmt: skip
    try:
        _write(path, paper.data)
    except OSError as error:
        raise NotReadable(f"{path} cannot be written: {error.strerror}; name another file for --sheet") from None
    return str(path)


def _more(asked: LyingAsked) -> list[str]:
    return [*asked.more, *([link_words(asked.link)] if asked.link is not None else [])]


def _write(path: Path, data: bytes) -> None:
    """Whole or not at all."""
    part = path.with_name(f".{path.name}.part")
    part.write_bytes(data)
    part.replace(path)
