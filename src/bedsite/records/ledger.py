"""The works in the ledger: taken in once, then read from its heads, now or as it stood at an earlier revision."""

from __future__ import annotations

from django.db import transaction

from bedsite.records.bodies import ABOUT_CODE, ABOUT_KIND, about_of, card_of
from bedsite.records.cards import put_with
from bedsite.records.chain import now, pen
from bedsite.records.formats import LEDGER_FORMAT
from bedsite.records.models import ChainEnd, Head, Revision
from bedsite.records.release import lines_released
from bedwright.errors import NotReadable
from bedwright.works.works import Works


def take_in(works: Works, *, who: str, why: str = "taken in") -> int:
    """Put a whole works into an empty ledger, all or nothing; the revision it now has. Refuses a full one."""
    with transaction.atomic():
        if ChainEnd.objects.exists():
            raise NotReadable("the ledger holds a works already; import a workbook to change it")
        ChainEnd.objects.create(pk=1, works_id=works.about.works_id, format=LEDGER_FORMAT, made_at=now())
        at = now()
        with pen() as held:
            put_with(held, works.about, expected=0, who=who, why=why, at=at)
            for card in works.all_cards():
                put_with(held, card, expected=0, who=who, why=why, at=at)
    return revision_now()


def end() -> ChainEnd:
    """Where the chain ends now."""
    return ChainEnd.objects.get(pk=1)


def revision_now() -> int:
    """The revision of the works: the place in the chain of the last card revision."""
    return int(end().cards_seq)


def read_works() -> Works:
    """The works as it counts now, stamped with its revision; one moment of the ledger, whoever is writing."""
    with transaction.atomic():
        stamp = end()
        heads = list(Head.objects.filter(gone=False))
        released = lines_released()
    about = next(head for head in heads if head.kind == ABOUT_KIND)
    return Works.of(
        about_of(about.body, about.schema, works_id=stamp.works_id, revision=stamp.cards_seq),
        [card_of(head.kind, head.schema, head.body) for head in heads if head.kind != ABOUT_KIND],
        released,
    )


def works_at(revision: int) -> Works:
    """The works as it stood at a revision. Raises NotReadable for one that is still to come."""
    stamp = end()
    if not 1 <= revision <= stamp.cards_seq:
        raise NotReadable(f"the works has revisions up to {stamp.cards_seq}; {revision} is none of them")
    rows = {row.folded + "\0" + row.kind: row for row in counted_at(revision)}
    about = rows.pop(f"{ABOUT_CODE}\0{ABOUT_KIND}")
    return Works.of(
        about_of(about.body, about.schema, works_id=stamp.works_id, revision=revision),
        [card_of(row.kind, row.schema, row.body) for row in rows.values() if not row.gone],
    )


def counted_at(revision: int) -> list[Revision]:
    """For each card the revision that counted at a place of the chain, gone ones too; read from the revisions alone."""
    rows = Revision.objects.filter(seq__lte=revision, aside=False).order_by("seq")
    found: dict[tuple[str, str], Revision] = {}
    for row in rows.iterator():
        found[row.kind, row.folded] = row
    return list(found.values())
