"""A plain bed as JSON and as a short table; and what is said before the first press on a machine."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from bedwright import __version__, typed
from bedwright.mechanics import newton
from bedwright.mechanics.plain_bed import PlainBed
from bedwright.mechanics.plain_test import PlainAnswer, plain_pad_test

FIRST = "The first press on this machine turns its sums into machine code and keeps that: half a minute or so, once."
SMALLEST = PlainBed(0.25, 100.0, 100.0, (), 100.0, 900.0, 1900.0)


def made_ready() -> None:
    """Load the compiled loops by a press that nobody asked for, so that `seconds` is the time of the test alone.

    Says one line on the error stream where they are not kept yet, and have to be made.
    """
    kept = Path(newton.equilibrium.stats.cache_path)
    if next(kept.glob("newton.equilibrium-*.nbi"), None) is None:
        click.echo(FIRST, err=True)
    plain_pad_test(SMALLEST, (1.0,), fineness=0.5)


def plain_json(plain: PlainBed, answer: PlainAnswer, seconds: float) -> dict[str, Any]:
    """A plain bed's forces as plain data."""
    found = six_figures(
        {
            "depth_mm": [float(depth) for depth in answer.depth],
            "force_n": [float(force) for force in answer.force],
            "foundation_kpa_per_m": plain.foundation * 1e6,
            "nodes": answer.nodes,
            "plain": plain.words(),
            "residual": answer.residual,
            "seconds": seconds,
            "springs": "smeared over the plan",
            "version": __version__,
        }
    )
    assert isinstance(found, dict)
    return found


def plain_text(plain: PlainBed, answer: PlainAnswer) -> str:
    """A plain bed's forces as a short table."""
    lines = [
        f"plain bed  {plain.words()}",
        f"springs smeared over the plan; springs and layers together {typed.show(plain.foundation * 1e6, 5)} kPa/m",
        "",
        f"{'down mm':>10}{'force N':>12}",
    ]
    lines += [
        f"{typed.show(float(d)):>10}{typed.show(float(f), 4):>12}"
        for d, f in zip(answer.depth, answer.force, strict=True)
    ]
    note = f"Worst point unbalanced by {100 * answer.residual:.1g} % of the force, {answer.nodes} points of the plan."
    return "\n".join([*lines, "", f"- {note}", "- A plain bed tries the sums; it is no bed that anybody makes."])


def six_figures(value: Any) -> Any:
    """Plain data with every float at six figures."""
    if isinstance(value, float):
        return float(f"{value:.6g}")
    if isinstance(value, list | tuple):
        return [six_figures(item) for item in value]
    if isinstance(value, dict):
        return {key: six_figures(item) for key, item in value.items()}
    return value
