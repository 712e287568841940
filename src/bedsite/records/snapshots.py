"""What was printed, kept as printed: card revisions, results, bytes. A reprint serves the bytes."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from bedsite.records.chain import now, pen
from bedsite.records.models import Blob, Head, Revision, Snapshot
from bedsite.records.people import new_key
from bedwright.errors import NotReadable
from bedwright.identity import canonical


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
    there = Blob.objects.filter(pk=sha256).only("sha256", "media", "size").first()
    if there is not None:
        return there
    return Blob.objects.create(sha256=sha256, media=media, size=len(data), data=data)


def again(id_: str) -> tuple[Snapshot, bytes]:
    """A kept paper and its very bytes. Raises NotReadable where nothing was kept under the id."""
    found = Snapshot.objects.filter(id=id_).select_related("blob").first()
    if found is None:
        raise NotReadable(f"no paper was kept as {id_[:40]!r}; list those that were")
    return found, bytes(found.blob.data)


def listed(most: int = 200, subject: str = "") -> Sequence[Snapshot]:
    """Kept papers, the newest first, without their bytes."""
    rows = Snapshot.objects.select_related("blob").defer("cards", "results", "blob__data").order_by("-seq")
    return list((rows.filter(subject=subject) if subject else rows)[:most])


def cards_at(revision: int) -> list[list[Any]]:
    """[kind, code, number, content] of every card in use at a revision of the works."""
    if not Head.objects.filter(seq__gt=revision).exists():
        rows: Any = Head.objects.filter(gone=False).order_by("kind", "folded")
        return [[row.kind, row.code, row.number, row.content] for row in rows]
    latest: dict[tuple[str, str], Revision] = {}
    for one in Revision.objects.filter(seq__lte=revision, aside=False).defer("body").order_by("seq").iterator():
        latest[one.kind, one.folded] = one
    return [[one.kind, one.code, one.number, one.content] for _, one in sorted(latest.items()) if not one.gone]
