"""Answers that were found, kept under their question: JSON only, capped, the longest unused go first.

No ledger: any of them may be deleted, and is then worked out again when somebody asks.
"""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.db.models import Sum

from bedsite.records.chain import now
from bedsite.records.models import Kept
from bedwright.identity import canonical

CAP_BYTES = 200_000_000
_LATELY = timedelta(minutes=10)


def keep(question: str, kind: str, answer: Any, *, at: datetime | None = None, cap: int | None = None) -> None:
    """Keep an answer. Older ones go until all fit under the cap; the new one stays, whatever its size."""
    text = canonical(answer).decode()
    moment = at or now()
    kept = {"kind": kind, "answer": text, "size": len(text.encode()), "made_at": moment, "used_at": moment}
    with transaction.atomic():
        Kept.objects.update_or_create(question=question, defaults=kept)
        _make_room(question, CAP_BYTES if cap is None else cap)


def _make_room(newest: str, cap: int) -> None:
    over = int(Kept.objects.aggregate(all=Sum("size"))["all"] or 0) - cap
    gone = []
    for one, size in Kept.objects.exclude(pk=newest).order_by("used_at", "made_at", "pk").values_list("pk", "size"):
        if over <= 0:
            break
        gone.append(one)
        over -= size
    Kept.objects.filter(pk__in=gone).delete()


def there(question: str, *, at: datetime | None = None) -> bool:
    """Whether an answer is kept; if so it counts as used now."""
    return bool(Kept.objects.filter(pk=question).update(used_at=at or now()))


def read(question: str, *, at: datetime | None = None) -> Any | None:
    """A kept answer, None where there is none (any more). Counts as used, written at most every ten minutes."""
    found = Kept.objects.filter(pk=question).first()
    if found is None:
        return None
    moment = at or now()
    if moment - found.used_at > _LATELY:
        Kept.objects.filter(pk=question).update(used_at=moment)
    return json.loads(found.answer)
