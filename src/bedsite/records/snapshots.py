"""What was printed, kept as printed: card revisions, results, bytes. A reprint serves the bytes."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from bedsite.records.chain import now, pen, reading
from bedsite.records.models import Blob, Head, Revision, Snapshot
from bedsite.records.people import new_key
from bedwright.errors import NotReadable
from bedwright.identity import canonical

_ID = re.compile("[0-9a-f]{32}")


def keep(
    *,
    paper: str,
    name: str,
    subject: str,
    data: bytes,
    media: str,
    results: Any,
    who: str,
    revision: int,
    at: datetime | None = None,
) -> Snapshot:
    """Keep a printed paper with what it was made from: every card as it counted at `revision` of the works."""
    used = cards_at(revision)
    with pen() as held:
        row = Snapshot(
            id=new_key(),
            paper=paper,
            name=name[:200],
            subject=subject,
            cards=canonical(used).decode(),
            results=canonical(results).decode(),
            blob=keep_blob(data, media),
            who=who,
            at=at or now(),
        )
        held.link(row)
    return row


def keep_blob(data: bytes, media: str) -> Blob:
    """Bytes under their own hash; the same bytes are kept once."""
    sha256 = hashlib.sha256(data).hexdigest()
    there = Blob.objects.filter(pk=sha256).defer("data").first()
    if there is not None:
        return there
    return Blob.objects.get_or_create(sha256=sha256, defaults={"media": media, "size": len(data), "data": data})[0]


def again(id_: str) -> tuple[Snapshot, bytes]:
    """A kept paper and its very bytes. Raises NotReadable where nothing was kept under the id, or other bytes lie."""
    found = Snapshot.objects.filter(id=id_).select_related("blob").first() if _ID.fullmatch(id_) else None
    if found is None:
        raise NotReadable(f"no paper was kept as {id_[:40]!r}; list those that were")
    data = bytes(found.blob.data)
    if hashlib.sha256(data).hexdigest() != found.blob_id:
        raise NotReadable(f"the paper {found.name} was changed behind the program's back; verify the ledger")
    return found, data


def listed(most: int = 200, subject: str = "") -> Sequence[Snapshot]:
    """Kept papers, the newest first, without their bytes."""
    rows = Snapshot.objects.select_related("blob").defer("cards", "results", "blob__data").order_by("-seq")
    return list((rows.filter(subject=subject) if subject else rows)[:most])


def cards_at(revision: int) -> list[list[Any]]:
    """[kind, code, number, content] of every card in use at a revision of the works, by kind and folded code."""
    with reading():
        if not Head.objects.filter(seq__gt=revision).exists():
            rows: Any = Head.objects.filter(gone=False)
        else:
            rows = Revision.objects.filter(seq__lte=revision, aside=False).order_by("seq")
        names = ("kind", "folded", "code", "number", "content", "gone")
        latest = {(row[0], row[1]): row for row in rows.values_list(*names).iterator()}
    return [[kind, *row[2:5]] for (kind, _), row in sorted(latest.items()) if not row[5]]
