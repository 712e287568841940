"""People and rights: made, given roles, shut out, erased; the last owner cannot be lost."""

from __future__ import annotations

import io
import re
import threading
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client

if TYPE_CHECKING:
    from bedsite.records.models import Person

PASSWORD = "sheep cross at dusk"


def test_somebody_new(signed_in: Any) -> None:
    from bedsite.records.models import Person

    owner = signed_in("owner")
    made = owner.post("/people/new", {"name": " Ann  Reed ", "sign_in": "ANN.Reed", "roles": ["buyer", "planner"]})
    person = Person.objects.get(sign_in="ann.reed")
    assert made["Location"] == f"/people/{person.key}" and person.name == "Ann Reed"
    assert person.roles == "planner,buyer" and not person.has_usable_password()
    floor = owner.post("/people/new", {"name": "Bo", "roles": ["maker"]})
    page = owner.get(floor["Location"]).content.decode()
    assert "tablets only" in page
    assert Client().post("/sign-in", {"sign_in": "ann.reed", "password": ""}).status_code == 422


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"sign_in": "owner"}, "is somebody else&#x27;s sign-in name"),
        ({"sign_in": "OWNER"}, "is somebody else&#x27;s sign-in name"),
        ({"sign_in": "-command-line-"}, "is no name to sign in with"),
        ({"sign_in": "a b"}, "is no name to sign in with"),
        ({"sign_in": "x" * 81}, "at most 80"),
        ({"name": "\x07bell"}, "is no name of a person"),
        ({"name": "\u202eright to left"}, "is no name of a person"),
        ({"name": ""}, "required"),
        ({"roles": ["king"]}, "king"),
    ],
)
def test_what_is_wrong_with_somebody_new(signed_in: Any, change: dict[str, Any], says: str) -> None:
    given = {"name": "Ann", "sign_in": "ann", "roles": ["buyer"]} | change
    answer = signed_in("owner").post("/people/new", given)
    assert answer.status_code == 422 and says in answer.content.decode()


def test_a_name_is_shown_as_text(signed_in: Any) -> None:
    owner = signed_in("owner")
    owner.post("/people/new", {"name": "<script>alert(1)</script>", "roles": []})
    page = owner.get("/people").content.decode()
    assert "&lt;script&gt;alert(1)" in page and "<script>alert" not in page


@pytest.mark.parametrize("act", ["roles", "shut-out", "erase"])
def test_the_last_owner_cannot_be_lost(signed_in: Any, people: dict[str, Person], act: str) -> None:
    owner, address = signed_in("owner"), f"/people/{people['owner'].key}/{act}"
    answer = owner.post(address, {"roles": ["viewer"]})
    assert answer.status_code == 422 and "This is the last owner who can sign in" in answer.content.decode()
    people["owner"].refresh_from_db()
    assert people["owner"].roles == "owner" and people["owner"].active and not people["owner"].erased
    people["buyer"].roles = "buyer,owner"
    people["buyer"].save()
    assert owner.post(address, {"roles": ["viewer"]}).status_code == 302
    assert signed_in("buyer").post(f"/people/{people['buyer'].key}/{act}", {"roles": []}).status_code == 422


def test_an_owner_who_cannot_sign_in_does_not_count(signed_in: Any, people: dict[str, Person]) -> None:
    owner = signed_in("owner")
    owner.post("/people/new", {"name": "No Password Yet", "sign_in": "later", "roles": ["owner"]})
    people["buyer"].roles, people["buyer"].active = "owner", False
    people["buyer"].save()
    assert owner.post(f"/people/{people['owner'].key}/shut-out").status_code == 422


def test_two_owners_who_shut_each_other_out_leave_one(people: dict[str, Person]) -> None:
    from django.db import connections

    from bedsite.doors import people_acts

    people["buyer"].roles = "owner"
    people["buyer"].save()
    refused: list[str] = []
    gate = threading.Barrier(2)

    def out(role: str) -> None:
        try:
            gate.wait()
            people_acts.shut_out(people[role])
        except people_acts.LastOwner:
            refused.append(role)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=out, args=(role,)) for role in ("owner", "buyer")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(refused) == 1 and len(people_acts.owners()) == 1


def test_erasing_blanks_the_name_everywhere_and_keeps_the_key(
    signed_in: Any, people: dict[str, Person], works_folder: Path
) -> None:
    from bedsite.doors import people_acts, unlock
    from bedsite.records import cards
    from bedsite.records import people as kept_people
    from bedsite.records.cards import history
    from bedsite.records.models import Person
    from bedwright.works.springs import Wire

    owner, viewer, person = signed_in("owner"), signed_in("designer"), people["designer"]
    unlock.set_pin(person, "4711")
    people_acts.new_badge(person)
    made = Wire(code="W22", name="spring wire 2.3", diameter=2.3, grade="SM", supplier="FERRUM", carbon="C-STEEL")
    cards.put(made, expected=1, who=person.key)
    assert owner.get(f"/people/{person.key}/erase").status_code == 200
    assert owner.post(f"/people/{person.key}/erase").status_code == 302
    row = Person.objects.get(key=person.key)
    assert (row.name, row.roles, row.pin, row.badge, row.active, row.erased) == ("", "", "", "", False, True)
    assert not row.has_usable_password() and "designer" not in row.sign_in
    assert viewer.get("/me").status_code == 302
    assert "The designer" not in owner.get("/people").content.decode()
    assert history("wire", "W22")[-1].who == person.key or history("wire", "W22")[0].who == person.key
    assert kept_people.names({person.key}) == {person.key: "no longer here"}
    assert owner.get(f"/people/{person.key}").status_code == 404
    assert owner.post("/people/new", {"name": "Another", "sign_in": "designer"}).status_code == 302, "the name is free"


def test_a_badge_is_shown_once_reads_back_and_replaces_the_one_before(
    signed_in: Any, people: dict[str, Person], tablet: Any, tmp_path: Path
) -> None:
    from bedsite.doors import unlock

    owner, person = signed_in("owner"), people["maker"]
    first = owner.post(f"/people/{person.key}/badge")
    code = re.search(r'class="once code">([0-9A-Z-]{19})<', first.content.decode())
    assert code is not None and "no-store" in first["Cache-Control"]
    person.refresh_from_db()
    assert code[1] not in person.badge and len(person.badge) == 64
    assert unlock.unlock(tablet[0], badge=f" {code[1].lower()} ").person == person.key
    assert unlock.unlock(tablet[0], badge=code[1].replace("-", "")).person == person.key
    assert code[1] not in owner.get(f"/people/{person.key}").content.decode()
    owner.post(f"/people/{person.key}/badge")
    with pytest.raises(unlock.Locked):
        unlock.unlock(tablet[0], badge=code[1])
    assert _decoded(first.content.decode()) == {code[1].replace("-", "")}


def _decoded(page: str) -> set[str]:
    """Both codes of a badge, drawn by one program and read by another."""
    import zxingcpp
    from PIL import Image, ImageDraw

    bars = re.search(r'<path d="(M[^"]*)" fill', page)
    assert bars is not None
    drawn = Image.new("L", (1500, 200), 255)
    pen = ImageDraw.Draw(drawn)
    for x, width in re.findall(r"M([\d.]+) 0h([\d.]+)v", bars[1]):
        pen.rectangle([float(x) * 20, 0, (float(x) + float(width)) * 20 - 1, 199], fill=0)
    import segno

    found = {one.text for one in zxingcpp.read_barcodes(drawn)}
    out = io.BytesIO()
    segno.make_qr(next(iter(found)), error="m").save(out, kind="png", scale=8)
    square = segno.make_qr(next(iter(found)), error="m").svg_inline(
        scale=4, border=4, dark="#000", light="#fff", svgclass=None, lineclass=None, title="QR code", omitsize=False
    )
    assert square in page
    return found | {one.text for one in zxingcpp.read_barcodes(Image.open(out))}


def test_a_pin_is_four_to_eight_digits(signed_in: Any, people: dict[str, Person]) -> None:
    owner, address = signed_in("owner"), f"/people/{people['maker'].key}/pin"
    for wrong in ("123", "123456789", "12a4", "١٢٣٤", ""):
        assert owner.post(address, {"pin": wrong}).status_code == 422, wrong
    assert owner.post(address, {"pin": "4711"}).status_code == 302
    people["maker"].refresh_from_db()
    assert "4711" not in people["maker"].pin
    mine = signed_in("viewer")
    assert mine.post("/me/pin", {"p-before": "wrong", "p-pin": "4711"}).status_code == 422
    assert mine.post("/me/pin", {"p-before": PASSWORD, "p-pin": "4711"}).status_code == 302


def test_the_audit_shows_who_did_what_newest_first_in_pages(signed_in: Any, people: dict[str, Person]) -> None:
    from bedsite.doors import notes

    owner = signed_in("owner")
    owner.post(f"/people/{people['viewer'].key}/roles", {"roles": ["viewer", "buyer"]})
    page = owner.get("/audit").content.decode()
    assert page.index("roles given") < page.index("sign-in</td>")
    assert "to The viewer: buyer,viewer" in page and "The owner" in page
    for number in range(120):
        notes.note("refused", says=f"number {number}")
    seen, address = [], "/audit"
    while address:
        page = owner.get(address).content.decode()
        seen += re.findall(r"<td>number (\d+)</td>", page)
        older = re.search(r'href="(\?before=\d+)"', page)
        address = f"/audit{older[1]}" if older else ""
    assert [int(one) for one in seen] == list(range(119, -1, -1))
    assert owner.get("/audit?before=x'--").status_code == 200


def test_notes_of_the_doors_are_never_changed(people: dict[str, Person]) -> None:
    from django.db import DatabaseError

    from bedsite.doors import notes
    from bedsite.records.models import DoorNote

    row = notes.note("sign-in")
    for act in (lambda: DoorNote.objects.filter(pk=row.pk).update(what="x"), lambda: row.delete()):
        with pytest.raises(DatabaseError, match="never changed"):
            act()
