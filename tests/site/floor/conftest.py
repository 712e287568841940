"""A floor: beds released, a tablet let in at the tape edge, somebody with a badge and a PIN, an owner."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from django.test import Client

    from bedsite.records.models import Device, Person

PIN = "2580"


@dataclass
class Floor:
    """Who and what is there."""

    client: Client
    device: Device
    person: Person
    badge: str
    owner: Client
    serials: tuple[str, ...]
    unlock_id: str = field(default="")

    def post(self, address: str, told: dict[str, Any]) -> dict[str, Any]:
        """A JSON answer to a JSON question."""
        import json

        response = self.client.post(f"/floor/{address}", json.dumps(told), content_type="application/json")
        assert response.status_code == 200, response.content
        return dict(response.json())

    def unlock(self) -> str:
        self.unlock_id = str(self.post("unlock", {"badge": self.badge})["unlock"])
        return self.unlock_id

    def act(self, act: str, serial: str, id_: str, **more: Any) -> dict[str, Any]:
        """One act as the page's script sends it."""
        from django.utils import timezone

        told = {"id": id_, "act": act, "serial": serial, "unlock": self.unlock_id, "said": timezone.now().isoformat()}
        return self.post("acts", told | more)


@pytest.fixture(autouse=True)
def quick_hashes() -> Iterator[None]:
    """Passwords hashed once instead of a million times."""
    import os

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bedsite.settings.own_machine")
    from django.test import override_settings

    with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
        yield


@pytest.fixture
def floor(works_folder: Path, me: str) -> Floor:
    from django.http import HttpResponse
    from django.test import Client

    from bedsite.doors import devices, people_acts, unlock
    from bedsite.longwork.releasing import lines_to_release, to_release
    from bedsite.records import ledger
    from bedsite.records.release import release
    from bedwright.reckoning import Reckoning

    reckoning = Reckoning(ledger.read_works())
    lines = [line for line in lines_to_release(reckoning) if line.order == "O-2"]
    made = release(to_release(reckoning, tuple(lines)), revision=reckoning.works.about.revision, who=me)
    serials = tuple(serial for one in made for run in one.runs for serial in run.serials)
    device = devices.new_device("tape tablet", "tape-edge")
    client, owner = Client(HTTP_HOST="127.0.0.1"), Client(HTTP_HOST="127.0.0.1")
    response = HttpResponse()
    devices.let_in(device, response, secure=False)
    client.cookies.update(response.cookies)
    person = people_acts.new_person(name="Tess Fold", sign_in="", roles=["maker"], password="")
    badge = people_acts.new_badge(person)
    unlock.set_pin(person, PIN)
    people_acts.new_person(name="Own Er", sign_in="owner", roles=["owner"], password="sheep cross at dusk")
    came = owner.post("/sign-in", {"sign_in": "owner", "password": "sheep cross at dusk"})
    assert came.status_code in (302, 303), came.content
    return Floor(client, device, person, badge, owner, serials)
