"""Asking whoever sits at the terminal; where nobody does, the option that answers is named instead."""

from __future__ import annotations

import sys

import click

from bedwright.errors import NotReadable


def at_terminal() -> bool:
    """Whether somebody can be asked."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def sure(question: str, option: str) -> None:
    """Ask yes or no. Raises NotReadable for no, and where nobody can be asked, naming the option that answers yes."""
    if not at_terminal():
        raise NotReadable(f"{question} Answer with {option}.")
    if not click.confirm(question, err=True):
        raise NotReadable("nothing was done")


def typed_number(question: str) -> int | None:
    """A number typed at the terminal; None for anything else."""
    text = str(click.prompt(question, default="", show_default=False, err=True)).strip()
    return int(text) if text.isascii() and text.isdigit() else None
