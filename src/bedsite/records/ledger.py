"""The works in the ledger: taken in once, then read from its heads, now or as it stood at an earlier revision."""

from __future__ import annotations

import json
from zoneinfo import ZoneInfo

from django.db import IntegrityError, transaction

from bedsite.records.bodies import ABOUT_KIND, about_of, card_of
from bedsite.records.cards import put_with
from bedsite.records.chain import beginning, now, pen, reading
from bedsite.records.formats import LEDGER_FORMAT
from bedsite.records.models import ChainEnd, Head, Released, Revision
from bedsite.records.release import lines_released
from bedsite.records.troubles import told
from bedwright.errors import NotReadable
from bedwright.works.works import Works

_FULL = "the ledger holds a works already; import a workbook to change it"


def take_in(works: Works, *, who: str, why: str = "taken in") -> int:
    """Put a whole works into an empty ledger, all or nothing; the revision it now has. Refuses a full one."""
    with told(), transaction.atomic():
        if ChainEnd.objects.exists():
            raise NotReadable(_FULL)
        at = now()
        first = ChainEnd(pk=1, works_id=works.about.works_id, format=LEDGER_FORMAT, made_at=at)
        first.hash = beginning(first)
        try:
            first.save(force_insert=True)
        except IntegrityError:  # somebody took one in at this very moment
            raise NotReadable(_FULL) from None
        with pen() as held:
            put_with(held, works.about, expected=0, who=who, why=why, at=at)
            for card in works.all_cards():
                put_with(held, card, expected=0, who=who, why=why, at=at)
    return revision_now()


def end() -> ChainEnd:
    """Where the chain ends now."""
    return ChainEnd.objects.get(pk=1)


def zone() -> ZoneInfo:
    """The zone of the works' wall times, as it counts now."""
    head = Head.objects.filter(kind=ABOUT_KIND).only("body").first()
    return ZoneInfo(json.loads(head.body)["time_zone"] if head is not None else "UTC")


def revision_now() -> int:
    """The revision of the works: the place in the chain of the last card revision."""
    return int(end().cards_seq)


def read_works() -> Works:
    """The works as it counts now, stamped with its revision; one moment of the ledger, whoever is writing."""
    with reading():
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
    """The works as it stood at a revision, and until the next. Raises NotReadable for one that is still to come."""
    with reading():
        stamp = end()
        if not 1 <= revision <= stamp.cards_seq:
            raise NotReadable(f"the works has revisions up to {stamp.cards_seq}; {revision} is none of them")
        following = Revision.objects.filter(seq__gt=revision).order_by("seq").values_list("seq", flat=True).first()
        until = stamp.seq if following is None else following
        orders = set(Released.objects.filter(what="works order", event__lte=until).values_list("id", flat=True))
        released = tuple(line for line in lines_released() if line.works_order in orders)
        rows = counted_at(revision)
    about = next(row for row in rows if row.kind == ABOUT_KIND)
    return Works.of(
        about_of(about.body, about.schema, works_id=stamp.works_id, revision=revision),
        [card_of(row.kind, row.schema, row.body) for row in rows if row.kind != ABOUT_KIND and not row.gone],
        released,
    )


def counted_at(revision: int) -> list[Revision]:
    """For each card the revision that counted at a place of the chain, gone ones too; read from the revisions alone."""
    rows = Revision.objects.filter(seq__lte=revision, aside=False).order_by("seq")
    found: dict[tuple[str, str], Revision] = {}
    for row in rows.iterator():
        found[row.kind, row.folded] = row
    return list(found.values())
