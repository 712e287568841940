"""Links that work once: who may open them, from where, for how long; and no default password anywhere."""

from __future__ import annotations

import hashlib
import logging
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client

if TYPE_CHECKING:
    from bedsite.records.models import Person

PASSWORD = "sheep cross at dusk"
OWNER = {"name": "Ann Reed", "sign_in": "Ann", "password": PASSWORD, "again": PASSWORD}


def test_nobody_can_sign_in_before_there_is_an_owner(works_folder: Path, me: str) -> None:
    from bedsite.records.models import Person

    assert [person.has_usable_password() for person in Person.objects.all()] == [False]
    assert "Nobody owns this works yet" in Client().get("/sign-in").content.decode()


def test_the_first_link_makes_the_owner_once(works_folder: Path) -> None:
    from bedsite.doors import one_time
    from bedsite.records.models import OneTime, Person

    secret = one_time.make("first")
    assert OneTime.objects.get().token == hashlib.sha256(secret.encode()).hexdigest()
    client = Client()
    assert client.get(f"/first/{secret}").status_code == 200, "looking does not use it up"
    made = client.post(f"/first/{secret}", OWNER)
    assert made.status_code == 302 and client.get("/people").status_code == 200
    person = Person.objects.get(sign_in="ann")
    assert person.held_roles == {"owner"} and person.password.startswith("md5$") and PASSWORD not in person.password
    assert Client().get(f"/first/{secret}").status_code == 403
    assert Client().post(f"/first/{secret}", OWNER | {"sign_in": "bob"}).status_code == 403
    assert Person.objects.filter(sign_in="bob").count() == 0


def test_two_first_links_make_one_owner(works_folder: Path) -> None:
    from bedsite.doors import one_time, people_acts
    from bedsite.records.models import OneTime

    one = one_time.make("first")
    kept = OneTime.objects.get()
    other = one_time.make("first")
    kept.save(force_insert=True)  # as if the earlier link had not been ended by the later one
    assert Client().post(f"/first/{one}", OWNER).status_code == 302
    assert Client().post(f"/first/{other}", OWNER | {"sign_in": "bob"}).status_code == 403
    assert len(people_acts.owners()) == 1


def test_a_link_ends_after_15_minutes(works_folder: Path, clock: Any) -> None:
    from bedsite.doors import one_time

    secret = one_time.make("first")
    clock.move(minutes=14, seconds=59)
    assert Client().get(f"/first/{secret}").status_code == 200
    clock.move(seconds=1)
    assert Client().get(f"/first/{secret}").status_code == 403
    assert Client().post(f"/first/{secret}", OWNER).status_code == 403


@pytest.mark.parametrize(
    ("address", "status"), [("127.0.0.1", 200), ("127.8.8.8", 200), ("::1", 200), ("::ffff:127.0.0.1", 200),
                            ("192.0.2.7", 403), ("10.0.0.1", 403), ("2001:db8::1", 403), ("", 403), ("localhost", 403)],
)  # fmt: skip
def test_the_first_link_opens_on_this_machine_only(works_folder: Path, address: str, status: int) -> None:
    from bedsite.doors import one_time

    secret = one_time.make("first")
    client = Client(REMOTE_ADDR=address, headers={"x-forwarded-for": "127.0.0.1"})
    assert client.get(f"/first/{secret}").status_code == status
    assert client.post(f"/first/{secret}", OWNER).status_code == (302 if status == 200 else 403)


def test_a_link_of_one_purpose_opens_no_other_door(works_folder: Path, people: dict[str, Person]) -> None:
    from bedsite.doors import devices, one_time, people_acts

    device = devices.new_device("t", "build")
    links = {
        "first": one_time.make("owner afar"),
        "password": people_acts.password_link(people["viewer"]),
        "tablet": one_time.make("device", device.key),
    }
    for page, secret in links.items():
        for door in links:
            assert Client().get(f"/{door}/{secret}").status_code == (200 if door == page else 403), (page, door)


def test_faults_leave_the_link_as_it_was(works_folder: Path) -> None:
    from bedsite.doors import one_time

    secret, client = one_time.make("first"), Client()
    for change, says in (
        ({"again": "another one here"}, "is not the same as above"),
        ({"password": "short", "again": "short"}, "at least 12 characters"),
        ({"password": "password12345", "again": "password12345"}, "too common"),
        ({"password": "Ann Reed Ann", "again": "Ann Reed Ann"}, "too similar"),
        ({"sign_in": "-x"}, "is no name to sign in with"),
        ({"name": " "}, "This field is required"),
    ):
        answer = client.post(f"/first/{secret}", OWNER | change)
        assert answer.status_code == 422 and says in answer.content.decode(), (change, answer.content.decode())
    assert client.post(f"/first/{secret}", OWNER).status_code == 302


def test_a_link_sets_a_forgotten_password_and_ends_all_sessions(people: dict[str, Person], signed_in: Any) -> None:
    owner, viewer = signed_in("owner"), signed_in("viewer")
    page = owner.post(f"/people/{people['viewer'].key}/link").content.decode()
    address = page.split('<p class="once">http://testserver')[1].split("</p>")[0]
    assert "is shown only now" in page
    client = Client(REMOTE_ADDR="192.0.2.7")
    answer = client.post(address, {"password": "quite another one", "again": "quite another one"})
    assert answer.status_code == 302 and client.get("/me").status_code == 200
    assert viewer.get("/me").status_code == 302, "the session from before is over"
    assert Client().post("/sign-in", {"sign_in": "viewer", "password": PASSWORD}).status_code == 422
    assert Client().post("/sign-in", {"sign_in": "viewer", "password": "quite another one"}).status_code == 302
    assert people["viewer"].roles == "viewer" and Client().get(address).status_code == 403


def test_the_way_back_for_an_owner_does_not_need_the_old_password(people: dict[str, Person]) -> None:
    from bedsite.doors import one_time

    secret = one_time.make("owner", people["owner"].key)
    assert Client(REMOTE_ADDR="192.0.2.7").get(f"/first/{secret}").status_code == 403
    done = Client().post(f"/first/{secret}", {"password": "a third one then", "again": "a third one then"})
    assert done.status_code == 302
    assert Client().post("/sign-in", {"sign_in": "owner", "password": "a third one then"}).status_code == 302


def test_secrets_stand_in_no_log_and_no_note(
    works_folder: Path, caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]
) -> None:
    from bedsite.doors import one_time
    from bedsite.records.models import DoorNote

    caplog.set_level(logging.DEBUG)
    secret = one_time.make("first")
    for address in (f"/first/{secret}", f"/tablet/{secret}", f"/first/{secret}x", f"/nowhere/{secret}"):
        Client().get(address, REMOTE_ADDR="192.0.2.7")
        Client().put(address)
    Client().get(f"/first/{secret}", headers={"host": f"{secret}.example"})
    Client().post(f"/first/{secret}", OWNER | {"again": "x"})
    Client().post(f"/first/{secret}", OWNER)
    Client().post("/sign-in", {"sign_in": "the-wrong-box", "password": "sheep-in-the-log"})
    said = "".join(
        one.getMessage() for one in caplog.records if not one.name.startswith(("django.db", "django.template"))
    ) + "".join(capfd.readouterr())
    said += "".join(str(vars(row)) for row in DoorNote.objects.all())
    assert DoorNote.objects.count() >= 4
    for word in (secret, PASSWORD, "sheep-in-the-log", "the-wrong-box"):
        assert word not in said
