"""Where published instances are looked for, and readers of their files. Absent data is said, never a failure."""

from __future__ import annotations

import csv
import os
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
DATA = Path(os.environ.get("BEDWRIGHT_PUBLISHED_DATA", ROOT.parent / "shared" / "data"))
Figure = tuple[str, str]
Times = list[list[int]]
Box = tuple[tuple[int, int, int], tuple[int, int, int], int]


def absent(what: str) -> Figure:
    """The row that stands where published data are not found."""
    return what, "absent: the published data were not found; point BEDWRIGHT_PUBLISHED_DATA at them"


def table(path: Path) -> list[dict[str, str]]:
    """Rows of a CSV file, lines that begin with # left out."""
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def words(path: Path) -> list[list[int]]:
    """Lines of whole numbers, empty lines left out."""
    return [[int(word) for word in line.split()] for line in path.read_text().splitlines() if line.strip()]


def flow_shop(jobs: int, machines: int, seed: int) -> Times:
    """Times [job][machine] of Taillard 1993: s <- 16807 s mod (2^31 - 1), times 1 to 99 (book taillard-1993)."""
    columns = []
    for _ in range(machines):
        column = []
        for _ in range(jobs):
            seed = 16807 * seed % (2**31 - 1)
            column.append(1 + seed * 99 // (2**31 - 1))
        columns.append(column)
    return [list(row) for row in zip(*columns, strict=True)]


def box_sets(name: str, count: int) -> list[tuple[tuple[int, int, int], list[Box]]]:
    """The first instances of a container set: container (length, width, height) and (sides, upright, count) of boxes.

    Bischoff & Ratcliff 1995 (book bischoff-ratcliff-1995): upright says of each side whether it may stand.
    """
    numbers = iter(int(word) for word in (DATA / "loading" / f"{name}.txt").read_text().split())
    total = next(numbers)
    found = []
    for _ in range(min(count, total)):
        next(numbers), next(numbers)
        container = next(numbers), next(numbers), next(numbers)
        boxes: list[Box] = []
        for _ in range(next(numbers)):
            _, a, up_a, b, up_b, c, up_c, copies = (next(numbers) for _ in range(8))
            boxes.append(((a, b, c), (up_a, up_b, up_c), copies))
        found.append((container, boxes))
    return found
