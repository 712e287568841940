"""What the ledger keeps. Rows only: how they come to be stands in cards.py, events.py, snapshots.py, people.py.

Revisions, events, snapshots and blobs are written once; triggers on both engines forbid any change (migrations).
`Linked` rows make one chain over them all: each row's hash covers its content and the hash before it. Heads, steps and
the chain's end are kept beside it for quick reading and can be made anew from it.
"""

from __future__ import annotations

from typing import ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models

KEY = 32
"""Signs of a random key (people, devices, snapshots): 128 bits in hex."""
HASH = 64


class ChainEnd(models.Model):
    """The one row that every append locks: where the chain ends, how much it holds, whose it is."""

    seq = models.BigIntegerField(default=0)
    hash = models.CharField(max_length=HASH, default="")
    revisions = models.BigIntegerField(default=0)
    events = models.BigIntegerField(default=0)
    snapshots = models.BigIntegerField(default=0)
    works_id = models.CharField(max_length=64)
    format = models.PositiveSmallIntegerField()
    made_at = models.DateTimeField()
    cards_seq = models.BigIntegerField(default=0)
    """seq of the last revision: the revision of the works, as a workbook is stamped with."""


class Linked(models.Model):
    """A row of the chain: seq counts 1, 2, 3 ... over all of them; hash = sha256(prior, content of the row)."""

    seq = models.BigIntegerField(primary_key=True)
    prior = models.CharField(max_length=HASH)
    hash = models.CharField(max_length=HASH)

    class Meta:
        abstract = True


class Revision(Linked):
    """One content of one card. number counts from 1 within the card; onto is the number it was made from."""

    kind = models.CharField(max_length=24)
    folded = models.CharField(max_length=96)
    code = models.CharField(max_length=24)
    number = models.PositiveIntegerField()
    onto = models.PositiveIntegerField()
    aside = models.BooleanField(default=False)
    """Somebody else had moved the head on: kept beside it until a person merges."""
    settles = models.PositiveIntegerField(null=True)
    """The number of the aside revision that this one settles."""
    gone = models.BooleanField(default=False)
    """The card is no longer in use from here on; what it said stays in body."""
    schema = models.PositiveSmallIntegerField()
    body = models.TextField()
    """Canonical JSON of the card."""
    content = models.CharField(max_length=HASH)
    who = models.CharField(max_length=KEY)
    at = models.DateTimeField()
    why = models.CharField(max_length=400)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("kind", "folded", "number"), name="one_number_a_card"),)
        indexes = (models.Index(fields=("kind", "seq"), name="revision_by_kind"),)


class Head(models.Model):
    """The revision of each card that counts now, so that a list is one indexed read."""

    kind = models.CharField(max_length=24)
    folded = models.CharField(max_length=96)
    code = models.CharField(max_length=24)
    number = models.PositiveIntegerField()
    last = models.PositiveIntegerField()
    """The greatest number given so far, asides counted."""
    seq = models.BigIntegerField()
    schema = models.PositiveSmallIntegerField()
    content = models.CharField(max_length=HASH)
    body = models.TextField()
    words = models.TextField()
    """What the card is found by: its texts and figures, folded; no money."""
    gone = models.BooleanField()
    asides = models.PositiveIntegerField(default=0)
    """Revisions kept beside the head that nobody has settled."""
    who = models.CharField(max_length=KEY)
    at = models.DateTimeField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("kind", "folded"), name="one_head_a_card"),)
        indexes = (
            models.Index(fields=("kind", "gone", "folded"), name="head_list"),
            models.Index(fields=("kind", "seq"), name="head_by_seq"),
            models.Index(fields=("kind", "folded"), name="head_with_asides", condition=models.Q(asides__gt=0)),
        )


class Event(Linked):
    """Something that happened: who said it when, on what, from which device. Corrections are events too."""

    sender = models.CharField(max_length=64, unique=True)
    """Id made by whoever sent it, so that sending it again changes nothing."""
    type = models.CharField(max_length=24)
    schema = models.PositiveSmallIntegerField()
    subject = models.CharField(max_length=64)
    corrects = models.CharField(max_length=64, blank=True)
    said = models.DateTimeField()
    received = models.DateTimeField()
    who = models.CharField(max_length=KEY)
    device = models.CharField(max_length=KEY, blank=True)
    body = models.TextField()

    class Meta:
        indexes = (
            models.Index(fields=("subject", "seq"), name="event_by_subject"),
            models.Index(fields=("type", "seq"), name="event_by_type"),
            models.Index(fields=("corrects",), name="event_by_corrected"),
        )


class Blob(models.Model):
    """Bytes under their own hash: PDFs as printed, pictures as taken in."""

    sha256 = models.CharField(max_length=HASH, primary_key=True)
    media = models.CharField(max_length=100)
    size = models.PositiveBigIntegerField()
    data = models.BinaryField()


class Snapshot(Linked):
    """What was printed: the card revisions it stands on, the results in it, the bytes. A reprint serves the bytes."""

    id = models.CharField(max_length=KEY, unique=True)
    paper = models.CharField(max_length=24)
    name = models.CharField(max_length=200)
    subject = models.CharField(max_length=64)
    cards = models.TextField()
    """Canonical JSON: [[kind, code, number, content], ...]."""
    results = models.TextField()
    blob = models.ForeignKey(Blob, on_delete=models.PROTECT)
    who = models.CharField(max_length=KEY)
    at = models.DateTimeField()

    class Meta:
        indexes = (models.Index(fields=("subject", "seq"), name="snapshot_by_subject"),)


class Released(models.Model):
    """What a release made, with its lasting id. Never changed; made anew from the release events alone."""

    id = models.CharField(max_length=24, primary_key=True)
    what = models.CharField(max_length=12)  # works order, run, bundle, serial
    of = models.CharField(max_length=24, blank=True)
    """The run of a bundle or serial, the works order of a run."""
    order = models.CharField(max_length=24)
    order_folded = models.CharField(max_length=96)
    line = models.PositiveIntegerField()
    number = models.PositiveIntegerField()
    """Place among its likes: run 1 of 3, bed 7 of the run."""
    facts = models.TextField()
    """Canonical JSON: bed, size, beds, stream ... as they stood at release."""
    event = models.BigIntegerField()

    class Meta:
        indexes = (
            models.Index(fields=("order_folded", "line"), name="released_by_line"),
            models.Index(fields=("of", "what", "number"), name="released_by_parent"),
        )


class Step(models.Model):
    """One operation on one bed, for the stations: made at release, moved on by bookings, made anew from events."""

    serial = models.CharField(max_length=24)
    run = models.CharField(max_length=24)
    position = models.PositiveIntegerField()
    operation = models.CharField(max_length=60)
    place = models.CharField(max_length=96)
    """Folded code of the work place."""
    after = models.TextField()
    """JSON list of the positions that come before it."""
    state = models.CharField(max_length=12, default="to do")  # to do, in work, trouble, done
    due = models.DateField()
    """The day of the van."""
    rank = models.BigIntegerField(default=0)
    """Order of making within the day."""
    who = models.CharField(max_length=KEY, blank=True)
    device = models.CharField(max_length=KEY, blank=True)
    started = models.DateTimeField(null=True)
    done = models.DateTimeField(null=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("serial", "position"), name="one_step_a_bed"),)
        indexes = (
            models.Index(fields=("place", "state", "due", "rank"), name="step_at_place"),
            models.Index(fields=("run",), name="step_by_run"),
            models.Index(fields=("place", "done"), name="step_done_at"),
            models.Index(fields=("state", "due", "run"), name="step_by_van"),
        )


class Taken(models.Model):
    """A start that counts: which bed a hand took up at a place, and so left the one before. Made anew from events."""

    sender = models.CharField(max_length=64, primary_key=True)
    place = models.CharField(max_length=96)
    hand = models.CharField(max_length=KEY)
    """Key of the device, of the person where there is none."""
    said = models.DateTimeField()
    serial = models.CharField(max_length=24)

    class Meta:
        indexes = (
            models.Index(fields=("place", "hand", "said"), name="taken_by_hand"),
            models.Index(fields=("serial",), name="taken_by_serial"),
        )


class People(BaseUserManager["Person"]):
    """Looks people up by the name they sign in with, whatever its case."""

    def get_by_natural_key(self, username: str | None) -> Person:
        return self.get(sign_in=(username or "").casefold())


class Person(AbstractBaseUser):
    """Who may come in. Revisions and events hold the key alone; erasing blanks the names and leaves the key."""

    key = models.CharField(max_length=KEY, unique=True)
    sign_in = models.CharField(max_length=80, unique=True)
    """Folded; random where the person has no sign-in or was erased."""
    name = models.CharField(max_length=80, blank=True)
    roles = models.CharField(max_length=120, blank=True)
    """Words of roles.py, joined by commas."""
    pin = models.CharField(max_length=160, blank=True)
    badge = models.CharField(max_length=HASH, blank=True, db_index=True)
    active = models.BooleanField(default=True)
    erased = models.BooleanField(default=False)
    made_at = models.DateTimeField()

    USERNAME_FIELD = "sign_in"
    REQUIRED_FIELDS: ClassVar[list[str]] = []
    objects = People()

    @property
    def is_active(self) -> bool:
        return self.active

    @property
    def held_roles(self) -> frozenset[str]:
        return frozenset(role for role in self.roles.split(",") if role)


class Device(models.Model):
    """A shared tablet or terminal that was let in once; who works at it shows badge or PIN."""

    key = models.CharField(max_length=KEY, unique=True)
    name = models.CharField(max_length=60)
    place = models.CharField(max_length=96)
    """Folded code of the work place whose station it shows."""
    token = models.CharField(max_length=HASH, blank=True, db_index=True)
    """sha256 of the secret in its cookie; empty until it is let in, and after it is shut out."""
    active = models.BooleanField(default=True)
    made_at = models.DateTimeField()
    seen_at = models.DateTimeField(null=True)


class OneTime(models.Model):
    """A link that works once and soon ends: the first owner, a forgotten password, letting a device in."""

    token = models.CharField(max_length=HASH, primary_key=True)
    """sha256 of the secret in the link."""
    what = models.CharField(max_length=16)  # owner, password, device
    subject = models.CharField(max_length=KEY, blank=True)
    ends = models.DateTimeField()
    used = models.DateTimeField(null=True)


class Unlock(models.Model):
    """Somebody at work on a device: from badge or PIN until idle, locked, or the shift is over."""

    id = models.CharField(max_length=KEY, primary_key=True)
    person = models.CharField(max_length=KEY)
    device = models.CharField(max_length=KEY)
    started = models.DateTimeField()
    last_said = models.DateTimeField()
    ended = models.DateTimeField(null=True)


class DoorNote(models.Model):
    """The audit of the doors: sign-ins and refusals, written once (triggers)."""

    at = models.DateTimeField(db_index=True)
    what = models.CharField(max_length=24)
    person = models.CharField(max_length=KEY, blank=True)
    device = models.CharField(max_length=KEY, blank=True)
    address = models.CharField(max_length=45, blank=True)
    page = models.CharField(max_length=80, blank=True)
    says = models.CharField(max_length=200, blank=True)


class Guess(models.Model):
    """Wrong passwords, PINs and badges lately, by name and by address: the slow-down counts these."""

    subject = models.CharField(max_length=120, unique=True)
    wrong = models.PositiveIntegerField(default=0)
    last = models.DateTimeField()


class Job(models.Model):
    """A piece of long work: asked, worked, ended. The question is its content hash; the answer is kept in Kept."""

    key = models.CharField(max_length=KEY, unique=True)
    kind = models.CharField(max_length=24)
    question = models.CharField(max_length=HASH, db_index=True)
    inputs = models.TextField()
    state = models.CharField(max_length=12, default="waiting")  # waiting, at work, done, failed, cancelled
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    message = models.TextField(blank=True)
    """What is being done; after a failure, why."""
    worker = models.CharField(max_length=KEY, blank=True)
    """Who is at it, as longwork/hands.py names a process."""
    tries = models.PositiveSmallIntegerField(default=0)
    heartbeat = models.DateTimeField(null=True)
    cancel = models.BooleanField(default=False)
    asked_by = models.CharField(max_length=KEY)
    asked_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=("question",),
                condition=models.Q(state__in=("waiting", "at work")),
                name="one_open_job_a_question",
            ),
        )
        indexes = (models.Index(fields=("state", "asked_at"), name="job_queue"),)


class Kept(models.Model):
    """The answer to a question: keyed by its inputs, the room's model version and the lock. Capped, JSON only."""

    question = models.CharField(max_length=HASH, primary_key=True)
    kind = models.CharField(max_length=24)
    answer = models.TextField()
    size = models.PositiveBigIntegerField()
    made_at = models.DateTimeField()
    used_at = models.DateTimeField(db_index=True)
