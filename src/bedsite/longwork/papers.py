"""Every paper of a reckoning, printed and kept with the cards it was made from; a reprint serves the very bytes."""

from __future__ import annotations

import hashlib
from typing import Any

from django.db import transaction

from bedsite.longwork.kinds import PapersOfTheWorks, Told
from bedsite.longwork.reckon import Steps, reckoned
from bedsite.records import snapshots
from bedsite.records.models import ChainEnd, Snapshot
from bedwright.printing import files

WORDS = {
    "bed-sheets": "bed sheet",
    "job-cards": "job cards",
    "van-sheets": "van sheet",
    "labels": "labels",
    "bill.xlsx": "bill",
    "cost.xlsx": "cost",
    "cuts.xlsx": "cuts",
    "plan.xlsx": "plan",
    "loading.xlsx": "loading",
    "summary.json": "summary",
}
"""Folder, or name, of a printed file -> what paper it is."""
MEDIA = {
    "pdf": "application/pdf",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "json": "application/json",
}
_OPENER = "index.html"
"""The page that opens a results folder: of no use away from its folder."""


def paper_word(name: str) -> str:
    """What paper a file is, by its place among the files of a run."""
    return WORDS.get(name.partition("/")[0], "paper")


def papers(inputs: PapersOfTheWorks, told: Told) -> Any:
    """Print and keep them all; gives their ids and names. Taken up again after a kill, none is kept twice."""
    steps = Steps(told, papers=True)
    reckoning = reckoned(inputs, steps)
    made = [
        (name, data)
        for name, data in files(reckoning, lambda done, of: steps.told("papers", done, of + 1))
        if name != _OPENER
    ]
    summed = {name: hashlib.sha256(data).hexdigest() for name, data in made if name == "summary.json"}
    facts = {"works": inputs.works, "as_of": inputs.as_of, "revision": inputs.revision, "summary": summed}
    kept = [_keep(name, data, inputs, facts, told.who) for name, data in made]
    return {
        "revision": inputs.revision,
        "as_of": inputs.as_of,
        "papers": [
            {"id": row.id, "paper": row.paper, "name": row.name, "size": len(data), "sha256": row.blob_id}
            for row, (_, data) in zip(kept, made, strict=True)
        ],
    }


def _keep(name: str, data: bytes, inputs: PapersOfTheWorks, facts: Any, who: str) -> Snapshot:
    subject = f"works {inputs.revision}"
    sha256 = hashlib.sha256(data).hexdigest()
    with transaction.atomic():
        ChainEnd.objects.select_for_update().get(pk=1)  # nobody keeps the same between the look and the keeping
        there = Snapshot.objects.filter(subject=subject, name=name[:200], blob_id=sha256).first()
        if there is not None:
            return there
        return snapshots.keep(
            paper=paper_word(name),
            name=name,
            subject=subject,
            data=data,
            media=MEDIA.get(name.rpartition(".")[2], "application/octet-stream"),
            results=facts,
            who=who,
            revision=inputs.revision,
        )
