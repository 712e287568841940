"""Events: a repeat changes nothing, a correction counts, what cannot be is refused; in any order, many times over."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bedwright.errors import FaultsFound, NotReadable

RUNS = itertools.count()
ACTS = ("send", "send", "send", "repeat", "clash", "correct", "correct", "withdraw", "correct a correction", "astray")
STEPS = st.lists(st.tuples(st.sampled_from(ACTS), st.integers(0, 20), st.sampled_from("abc")), min_size=1, max_size=12)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=STEPS)
def test_repeats_and_corrections_in_any_order(works_folder: Path, me: str, steps: list[tuple[str, int, str]]) -> None:
    """Against a plain table of what was said last of each event."""
    from bedsite.records import events
    from bedsite.records.models import Event
    from bedsite.records.payloads import Claim, Correction

    run = f"run-{next(RUNS):06d}"
    subject = run
    said: dict[str, str | None] = {}
    corrections: list[str] = []
    accepted = 0
    for at, (act, pick, text) in enumerate(steps):
        sender = f"{run}:{at}"
        known = list(said)
        wrong = known[pick % len(known)] if known else ""
        if act == "send":
            assert events.append(Claim(says=text), sender=sender, subject=subject, who=me).fresh
            said[sender] = text
            accepted += 1
        elif not known:
            continue
        elif act in ("repeat", "clash"):
            there = Event.objects.get(sender=wrong)
            first = events.payload_of(there)
            if act == "repeat":
                assert not events.append(first, sender=wrong, subject=subject, who=me).fresh
            else:
                with pytest.raises(events.SenderClash):
                    events.append(Claim(says=f"{text}!"), sender=wrong, subject=subject, who=me)
        elif act in ("correct", "withdraw"):
            instead = {"says": f"{text}{at}"} if act == "correct" else None
            told = Correction(why="it was otherwise", instead=instead)
            assert events.append(told, sender=sender, subject=subject, who=me, corrects=wrong).fresh
            assert not events.append(told, sender=sender, subject=subject, who=me, corrects=wrong).fresh
            said[wrong] = instead["says"] if instead is not None else None
            corrections.append(sender)
            accepted += 1
        else:
            of = corrections[pick % len(corrections)] if act == "correct a correction" and corrections else wrong
            elsewhere = subject if of in corrections else "elsewhere"
            with pytest.raises(FaultsFound, match="corrects event"):
                events.append(Correction(why="x"), sender=sender, subject=elsewhere, who=me, corrects=of)
    rows = events.of_subject(subject)
    assert len(rows) == accepted
    counted = {one.event.sender: one.payload.says for one in events.standing(rows)}  # type: ignore[attr-defined]
    assert counted == {sender: text for sender, text in said.items() if text is not None}


def test_the_chain_holds_after_it(works_folder: Path, me: str) -> None:
    from bedsite.records import chain, events
    from bedsite.records.payloads import Claim, Correction

    events.append(Claim(says="dip"), sender="claim-0001", subject="O-1", who=me)
    events.append(Correction(why="no dip"), sender="claim-0002", subject="O-1", who=me, corrects="claim-0001")
    assert chain.verify().events == 2


@pytest.mark.parametrize("sender", ["", "short", "x" * 65, "claim 0001", "claim\0001", "claim-000\n", "\xe9" * 8])
def test_an_id_that_is_none_is_refused(works_folder: Path, me: str, sender: str) -> None:
    from bedsite.records import events
    from bedsite.records.payloads import Claim, Correction

    with pytest.raises(NotReadable, match="no id of a sender"):
        events.append(Claim(says="dip"), sender=sender, subject="O-1", who=me)
    if sender:
        with pytest.raises(FaultsFound, match="there is none"):
            events.append(Correction(why="x"), sender="claim-0009", subject="O-1", who=me, corrects=sender)


def test_a_correction_is_read_before_it_is_taken(works_folder: Path, me: str) -> None:
    from bedsite.records import events
    from bedsite.records.payloads import Claim, Correction

    events.append(Claim(says="dip"), sender="claim-0001", subject="O-1", who=me)
    told = Correction(why="x", instead={"says": 3, "more": 1})
    with pytest.raises(FaultsFound) as found:
        events.append(told, sender="claim-0002", subject="O-1", who=me, corrects="claim-0001")
    assert len(found.value.faults) == 2


def test_a_batch_with_a_repeat_in_it_is_taken_once(works_folder: Path, me: str) -> None:
    """A tablet that sends its kept scans again in one go, one of them twice and one corrected at once."""
    from bedsite.records import chain, events
    from bedsite.records.payloads import Claim, Correction

    with chain.pen() as held:
        fresh = [
            events.append_with(held, Claim(says="dip"), sender=sender, subject="O-1", who=me).fresh
            for sender in ("claim-0001", "claim-0002", "claim-0001")
        ]
        events.append_with(held, Correction(why="x"), sender="claim-0003", subject="O-1", who=me, corrects="claim-0002")
    assert fresh == [True, True, False]
    assert [one.event.sender for one in events.standing(events.of_subject("O-1"))] == ["claim-0001"]
    chain.verify()
