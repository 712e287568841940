"""A disk that is full or a ledger that is locked is told as a page, whatever page met it; our own faults stay ours."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from typing import Any

import pytest
from django.db import DatabaseError
from django.test import Client


@pytest.mark.parametrize(("code", "says"), [(13, "the disk is full"), (5, "somebody else has been writing")])
def test_trouble_below_is_a_sentence(
    signed_in: Callable[..., Client], monkeypatch: pytest.MonkeyPatch, code: int, says: str
) -> None:
    def broken(*_args: Any) -> None:
        cause = sqlite3.OperationalError("as the engine says it")
        cause.sqlite_errorcode = code
        raise DatabaseError("as the engine says it") from cause

    client = signed_in("owner")
    monkeypatch.setattr("bedsite.office.front.views.head", broken)
    answer = client.get("/works")
    assert answer.status_code == 503
    assert says in answer.content.decode() and "as the engine" not in answer.content.decode()


def test_a_fault_of_ours_is_no_trouble_below(signed_in: Callable[..., Client], monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_args: Any) -> None:
        raise ZeroDivisionError

    client = signed_in("owner", raise_request_exception=False)
    monkeypatch.setattr("bedsite.office.front.views.head", broken)
    assert client.get("/works").status_code == 500


def test_an_error_page_that_cannot_be_drawn_is_bare_and_in_the_log(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture, works_folder: Any
) -> None:
    from django.test import RequestFactory

    from bedsite.doors import errors

    def broken(*_args: Any) -> str:
        raise ZeroDivisionError

    monkeypatch.setattr(errors, "render_to_string", broken)
    answer = errors.server_error(RequestFactory().get("/"))
    assert answer.status_code == 500 and b"What was saved before is safe" in answer.content
    assert "could not be drawn" in caplog.text and "ZeroDivisionError" in caplog.text
