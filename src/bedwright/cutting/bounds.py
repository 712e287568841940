"""What no cut plan can beat: lower bounds by size classes, for bars, sheets and rolls.

Martello & Toth 1990, bound L2; Fekete & Schepers 2001, dual feasible functions (both from memory).
A dual feasible function f gives every size a share so that the shares of whatever fits side by side never exceed 1;
then the sum of shares is a number of bars, and of products of shares a number of sheets.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

MOST_CLASSES = 24


def ceil_div(a: int, b: int) -> int:
    return -(-a // b)


def fewest_bars(sizes: Sequence[tuple[int, int]], capacity: int) -> int:
    """Least number of bars of this capacity for sizes [(size, count)], no size above the capacity.

    Martello & Toth 1990, L2 = max over K of |N1| + |N2| + max(0, ceil((sum N3 - (|N2| c - sum N2)) / c)) with
    N1 above c - K, N2 above c / 2 up to c - K, N3 from K to c / 2.
    """
    wanted = sorted((s, n) for s, n in sizes if n)
    if not wanted:
        return 0
    best = ceil_div(sum(s * n for s, n in wanted), capacity)
    for k in [0, *sorted({s for s, _ in wanted if 2 * s <= capacity})]:
        n1 = sum(n for s, n in wanted if s > capacity - k)
        n2 = sum(n for s, n in wanted if 2 * s > capacity and s <= capacity - k)
        sum2 = sum(s * n for s, n in wanted if 2 * s > capacity and s <= capacity - k)
        sum3 = sum(s * n for s, n in wanted if 2 * s <= capacity and s >= k)
        rest = sum3 - (n2 * capacity - sum2)
        best = max(best, n1 + n2 + max(0, ceil_div(rest, capacity)))
    return best


@dataclass(frozen=True, slots=True)
class Share:
    """A dual feasible function as a table: the share of size s is numerator[s] / denominator."""

    numerator: Mapping[int, int]
    denominator: int


def shares(sizes: Iterable[int], capacity: int) -> tuple[Share, ...]:
    """Families of dual feasible functions over these sizes (each 1 .. capacity).

    Fekete & Schepers 2001: U(eps): 1 above c - eps, itself between, 0 below eps; u(k): itself where (k + 1) s / c is
    whole, else floor((k + 1) s / c) / k.
    """
    distinct = sorted(set(sizes))
    small = [s for s in distinct if 2 * s <= capacity]
    step = max(1, ceil_div(len(small), MOST_CLASSES))
    tables = []
    for eps in [0, *small[::step]]:
        table = {s: capacity if s > capacity - eps else (s if s >= eps else 0) for s in distinct}
        tables.append(Share(table, capacity))
    for k in (1, 2, 3, 4):
        table = {}
        for s in distinct:
            whole, rest = divmod((k + 1) * s, capacity)
            table[s] = s * k if rest == 0 else whole * capacity
        tables.append(Share(table, capacity * k))
    return tuple(tables)
