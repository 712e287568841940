"""Drawings and sheets of learning as files: whole or not at all, and nothing written over unasked."""

from __future__ import annotations

from pathlib import Path

from bedwright.errors import NotReadable


def refuse_taken(folder: Path, name: str, write_over: bool) -> None:
    """Raises NotReadable for a folder that is none, and for a drawing that is there unless it may go."""
    if folder.exists() and not folder.is_dir():
        raise NotReadable(f"{folder} is no folder; name another one for --draw")
    if (folder / name).exists() and not write_over:
        raise NotReadable(f"{folder} holds {name} already; name another folder, or write over it with --replace")


def refuse_sheet(sheet: Path, write_over: bool) -> None:
    """Raises NotReadable for a place that no sheet can be written to, and for one that is there unless it may go."""
    if sheet.is_dir():
        raise NotReadable(f"{sheet} is a folder; name a file for --sheet, as {sheet / 'trust.pdf'}")
    if sheet.exists() and not write_over:
        raise NotReadable(f"{sheet} is there already; name another file, or write over it with --replace")
    if not sheet.parent.is_dir():
        raise NotReadable(f"{sheet.parent} is no folder; name a file in one that is there for --sheet")


def write_drawing(folder: Path, name: str, svg: str) -> str:
    """Write a drawing; its path."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return write_whole(folder / name, (svg + "\n").encode())
    except OSError as error:
        raise NotReadable(f"{folder} cannot be written: {error.strerror}; name another folder for --draw") from None


def write_whole(path: Path, data: bytes) -> str:
    """Write a file by way of another; its path."""
    part = path.with_name(f".{path.name}.part")
    part.write_bytes(data)
    part.replace(path)
    return str(path)
