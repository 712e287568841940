"""`make measure` runs all; `make measure-NAME` one. Writes its section of docs/why/measured.md."""

from __future__ import annotations

import importlib
import pkgutil
import re
import sys
from pathlib import Path

import measures
from bedwright.mechanics.compiled import drop_stale

PAGE = Path(__file__).resolve().parent.parent / "docs" / "why" / "measured.md"
HEAD = """# Measured

Figures of `make measure`, on the machine that last ran it: machines are shared and noisy, so compare rows of one run,
not absolutes. Nothing here is a test.
"""


def names() -> list[str]:
    """Every measure by its module name."""
    return sorted(info.name for info in pkgutil.iter_modules(measures.__path__) if not info.name.startswith("_"))


def section(name: str) -> str:
    """Run one measure and write its section."""
    module = importlib.import_module(f"measures.{name}")
    lines = [f"## {name}: {module.TITLE}", "", "| what | figure |", "|---|---|"]
    lines += [f"| {what} | {figure} |" for what, figure in module.run()]
    return "\n".join(lines) + "\n"


def main(arguments: list[str]) -> int:
    drop_stale()
    wanted = [argument.replace("-", "_") for argument in arguments] or names()
    unknown = [name for name in wanted if name not in names()]
    if unknown:
        print(f"no measure {', '.join(unknown)}; there are {', '.join(names())}", file=sys.stderr)
        return 2
    old = PAGE.read_text(encoding="utf-8") if PAGE.exists() else HEAD
    sections = _sections(old)
    for name in wanted:
        sections[name] = section(name)
        print(sections[name])
    PAGE.write_text(HEAD + "\n" + "\n".join(sections[name] for name in sorted(sections)), encoding="utf-8")
    return 0


def _sections(text: str) -> dict[str, str]:
    found = {}
    for part in re.split(r"(?m)^(?=## )", text)[1:]:
        name = part[3:].split(":", 1)[0]
        if name in names():
            found[name] = part.rstrip() + "\n"
    return found


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
