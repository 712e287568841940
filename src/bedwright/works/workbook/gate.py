"""The gate: what is looked at in a file before anything else reads it.

A workbook is a zip of XML. A file of a few kilobytes can ask for gigabytes (one stray cell in the last corner, a bomb
of noughts, entities that unfold); so names, sizes and extents are checked here in a stream, in little memory.
"""

from __future__ import annotations

import io
import stat
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from bedwright.errors import Fault, NotReadable
from bedwright.works.workbook.gate_xml import SheetFindings, Sheets, look_at_sheet, percent_styles, sheet_members, walk

LARGEST_FILE = 30_000_000  # bytes of the file
LARGEST_UNPACKED = 150_000_000  # bytes of all its parts together
MOST_PARTS = 2_000
_OLE = bytes.fromhex("d0cf11e0a1b11ae1")
_SAVE = "save it from the spreadsheet as .xlsx"


@dataclass(frozen=True, slots=True)
class Gated:
    """A file that may be read: its bytes, what was found in each sheet, and mild notes."""

    data: bytes
    sheets: tuple[SheetFindings, ...]
    notes: tuple[Fault, ...]


def through_gate(path: Path) -> Gated:
    """Let a file through, or say in one sentence why not. Raises NotReadable, and FaultsFound for a stray cell."""
    data = _bytes_of(path)
    _is_zip(data, path.name)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            return _look_inside(data, parts, path.name)
    except NotImplementedError:
        raise NotReadable(f"{path.name} is packed in a way that no spreadsheet uses; {_SAVE}") from None
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, KeyError):
        raise NotReadable(f"{path.name} is damaged or was cut short; take a whole copy, or {_SAVE} again") from None


def _bytes_of(path: Path) -> bytes:
    try:
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            raise NotReadable(f"{path} is a folder, not a workbook; name the .xlsx file")
        if not stat.S_ISREG(found.st_mode):
            raise NotReadable(f"{path} is no ordinary file; name the .xlsx file")
        if found.st_size > LARGEST_FILE:
            raise NotReadable(
                f"{path.name} has {found.st_size / 1e6:.0f} MB, and a workbook of a works has at most "
                f"{LARGEST_FILE // 1_000_000} MB; take pictures and other sheets out of it"
            )
        with path.open("rb") as file:
            data = file.read(found.st_size + 1)
    except FileNotFoundError:
        raise NotReadable(f"there is no file {path}; make one with: bedwright new {path.parent}") from None
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise NotReadable(f"{path} cannot be opened ({reason})") from None
    if not data:
        raise NotReadable(f"{path.name} is empty (0 bytes); take a whole copy of the workbook")
    return data


def _is_zip(data: bytes, name: str) -> None:
    """Refuse what is no zip, by its first bytes."""
    if data[:2] == b"PK":
        return
    if data.startswith(_OLE):
        if "EncryptedPackage".encode("utf-16-le") in data:
            raise NotReadable(f"{name} is encrypted; take its password off and save it again")
        raise NotReadable(f"{name} is a workbook of the old kind (.xls); {_SAVE}")
    if data.startswith(b"%PDF"):
        raise NotReadable(f"{name} is a PDF, not a workbook; {_SAVE}")
    if data.lstrip()[:1] == b"<":
        raise NotReadable(f"{name} is a web page or XML, not a workbook; {_SAVE}")
    try:
        data[:4096].decode("utf-8", "strict" if len(data) <= 4096 else "ignore")
        plain = b"\0" not in data[:4096]
    except UnicodeDecodeError:
        plain = False
    kind = "text" if plain else "something else"
    raise NotReadable(f"{name} is no workbook (it is {kind}); {_SAVE}")


def _look_inside(data: bytes, parts: zipfile.ZipFile, name: str) -> Gated:
    _entries_hold(parts, name)
    budget = _Budget(parts, name)
    members = sheet_members(budget)
    percents = percent_styles(budget)
    findings = tuple(look_at_sheet(budget, sheet, percents) for sheet in members.sheets)
    for entry in sorted(set(parts.namelist()) - members.seen):
        if entry.lower().endswith((".xml", ".rels")):
            walk(budget, entry)
    return Gated(data, findings, tuple(_notes(parts, members)))


def _entries_hold(parts: zipfile.ZipFile, name: str) -> None:
    entries = parts.infolist()
    names = [entry.filename for entry in entries]
    if len(entries) > MOST_PARTS:
        raise NotReadable(f"{name} has {len(entries)} parts inside, and no workbook needs over {MOST_PARTS}; {_SAVE}")
    unpacked = sum(entry.file_size for entry in entries)
    if unpacked > LARGEST_UNPACKED:
        raise NotReadable(
            f"{name} would unpack to {unpacked / 1e6:.0f} MB, and at most {LARGEST_UNPACKED // 1_000_000} MB are read; "
            "take other sheets out of it"
        )
    if any(entry.flag_bits & 1 for entry in entries):
        raise NotReadable(f"{name} is encrypted; take its password off and save it again")
    for one in names:
        if one.startswith(("/", "\\")) or "\\" in one or "\0" in one or ":" in one or ".." in one.split("/"):
            raise NotReadable(f"{name} has a part named {one[:60]!r}, which points outside the workbook; {_SAVE}")
    if len({one.casefold() for one in names}) != len(names):
        raise NotReadable(f"{name} has two parts of one name; {_SAVE} again")
    if "xl/workbook.xml" not in names:
        raise NotReadable(f"{name} is {_other_kind(parts, names)}; {_SAVE}")


def _other_kind(parts: zipfile.ZipFile, names: list[str]) -> str:
    if "mimetype" in names and b"opendocument" in parts.read("mimetype")[:200]:
        return "an OpenDocument file (.ods)"
    if "xl/workbook.bin" in names:
        return "a binary workbook (.xlsb)"
    if any(one.startswith("word/") for one in names):
        return "a text document (.docx)"
    return "a zip without a workbook inside"


def _notes(parts: zipfile.ZipFile, members: Sheets) -> list[Fault]:
    notes = []
    names = parts.namelist()
    if any("vbaproject" in one.lower() for one in names):
        notes.append(Fault("has macros; they are not read and never run", sheet="the workbook", grave=False))
    if any(one.lower().startswith("xl/externallinks/") for one in names):
        says = "has links to other workbooks; they are not followed, the last values were taken"
        notes.append(Fault(says, sheet="the workbook", grave=False))
    for name in members.other:
        notes.append(Fault("is no sheet of cells (a chart?); left out", sheet=name, grave=False))
    return notes


class _Budget:
    """Hands out the parts in pieces and stops when more comes out than was agreed."""

    def __init__(self, parts: zipfile.ZipFile, name: str) -> None:
        self._parts = parts
        self._left = LARGEST_UNPACKED
        self.name = name
        self.names = frozenset(parts.namelist())

    def pieces(self, member: str) -> io.BufferedIOBase:
        """The part as a stream. Raises KeyError for one that is not there."""
        return _Counted(self._parts.open(member), self)

    def take(self, count: int) -> None:
        self._left -= count
        if self._left < 0:
            raise NotReadable(
                f"{self.name} unpacks to over {LARGEST_UNPACKED // 1_000_000} MB; {_SAVE} without the rest"
            )


class _Counted(io.BufferedIOBase):
    def __init__(self, stream: IO[bytes], budget: _Budget) -> None:
        self._stream, self._budget = stream, budget

    def read(self, size: int | None = -1, /) -> bytes:
        piece = self._stream.read(-1 if size is None else size)
        self._budget.take(len(piece))
        return piece
