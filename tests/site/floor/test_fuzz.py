"""Whatever a scanner, a broken script or somebody with bad will sends to a station: counted or refused."""

from __future__ import annotations

import json
import uuid
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

SCRAP = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**20), 10**20),
    st.floats(allow_nan=True),
    st.text(max_size=40),
    st.sampled_from(["", "S00000000", "s0000001 7", "\0", "x" * 4000, "2026-03-02T06:00:00Z"]),
    st.sampled_from(["9999-12-31T23:59:59+14:00", "0001-01-01T00:00:00+14:00"]),
    st.lists(st.integers(), max_size=3),
    st.dictionaries(st.text(max_size=3), st.integers(), max_size=2),
)  # fmt: skip
CALM = settings(max_examples=250, deadline=None, suppress_health_check=list(HealthCheck))


@CALM
@given(
    change=st.dictionaries(
        st.sampled_from(["id", "act", "serial", "unlock", "said", "position", "says", "place", "device"]), SCRAP,
        max_size=4,
    ),
    bed=st.integers(0, 1000),
    act=st.sampled_from(["start", "done", "trouble", "back"]),
)  # fmt: skip
def test_acts(floor: Any, change: dict[str, Any], bed: int, act: str) -> None:
    from django.utils import timezone

    if not floor.unlock_id:
        floor.unlock()
    told = {
        "id": str(uuid.uuid5(uuid.NAMESPACE_OID, f"{bed} {act}")), "act": act,
        "serial": floor.serials[bed % len(floor.serials)],
        "unlock": floor.unlock_id, "said": timezone.now().isoformat(),
    }  # fmt: skip
    response = floor.client.post("/floor/acts", json.dumps(told | change), content_type="application/json")
    assert response.status_code == 200
    answer = response.json()
    assert answer["state"] in ("counted", "again", "refused")
    assert answer["state"] != "refused" or answer["says"]


@CALM
@given(told=st.dictionaries(st.sampled_from(["badge", "person", "pin", "csrfmiddlewaretoken"]), SCRAP, max_size=3))
def test_unlocking(floor: Any, told: dict[str, Any]) -> None:
    response = floor.client.post("/floor/unlock", json.dumps(told), content_type="application/json")
    assert response.status_code in (200, 429) and "unlock" not in response.json()


def test_the_ledger_holds_after_all_that(floor: Any) -> None:
    """The chain, and the steps made anew from it, agree after a hundred acts in no order, some sent again."""
    import random

    from bedsite.records import chain, rebuild

    floor.unlock()
    chance = random.Random(7)
    for _ in range(100):
        serial = chance.choice(floor.serials)
        id_ = str(uuid.UUID(int=chance.randrange(60) + 1, version=4))
        floor.act(chance.choice(["start", "done", "trouble", "back"]), serial, id_)
    assert chain.verify().events > 30
    assert rebuild.differences() == []
