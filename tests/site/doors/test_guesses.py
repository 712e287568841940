"""Guessing made slow: by name and by address, for passwords, PINs and badges."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client

if TYPE_CHECKING:
    from bedsite.records.models import Device, Person

PASSWORD = "sheep cross at dusk"


def attempt(name: str, password: str, address: str = "127.0.0.1") -> int:
    return int(Client(REMOTE_ADDR=address).post("/sign-in", {"sign_in": name, "password": password}).status_code)


def test_the_wait_grows_and_is_capped() -> None:
    from bedsite.doors.guesses import seconds_to_wait

    waits = [seconds_to_wait(wrong) for wrong in range(20)]
    assert waits[:9] == [0, 0, 0, 0, 0, 1, 2, 4, 8]
    assert waits[-1] == 900 and seconds_to_wait(10**9) == 900


def test_after_five_wrong_passwords_even_the_right_one_waits(people: dict[str, Person], clock: Any) -> None:
    for _ in range(5):
        assert attempt("owner", "wrong") == 422
    answer = Client().post("/sign-in", {"sign_in": "owner", "password": PASSWORD})
    assert (answer.status_code, answer["Retry-After"]) == (429, "1")
    assert "Too many wrong tries; wait 1 s" in answer.content.decode()
    clock.move(seconds=1)
    assert attempt("owner", "wrong") == 422
    for _ in range(3):
        assert attempt("owner", PASSWORD) == 429, "a try during the wait makes it no longer"
    clock.move(seconds=1)
    assert attempt("owner", PASSWORD) == 429
    clock.move(seconds=1)
    assert attempt("owner", PASSWORD) == 302
    for _ in range(5):
        assert attempt("owner", "wrong") == 422, "a success cleared the count"


def test_a_name_waits_whatever_the_address_and_an_address_whatever_the_name(
    people: dict[str, Person], clock: Any
) -> None:
    for last in range(5):
        attempt("Owner", "wrong", f"192.0.2.{last}")
    assert attempt("owner ", PASSWORD, "192.0.2.99") == 429
    for name in "abcde":
        attempt(name, "wrong", "198.51.100.1")
    assert attempt("viewer", PASSWORD, "198.51.100.1") == 429
    assert attempt("viewer", PASSWORD, "198.51.100.2") == 302


def test_a_name_that_nobody_has_waits_alike(people: dict[str, Person], clock: Any) -> None:
    for last in range(5):
        assert attempt("nobody", "wrong", f"192.0.2.{last}") == 422
    assert attempt("nobody", "wrong", "192.0.2.99") == 429


def test_an_ipv6_machine_is_counted_by_its_network(people: dict[str, Person], clock: Any) -> None:
    for last in range(5):
        attempt(f"n{last}", "wrong", f"2001:db8:1:2::{last}")
    assert attempt("viewer", PASSWORD, "2001:db8:1:2:ffff::1") == 429
    assert attempt("viewer", PASSWORD, "2001:db8:1:3::1") == 302


def test_a_quiet_day_forgets(people: dict[str, Person], clock: Any) -> None:
    for _ in range(5):
        attempt("owner", "wrong")
    clock.move(days=1, seconds=1)
    for _ in range(4):
        assert attempt("owner", "wrong") == 422
    assert attempt("owner", PASSWORD) == 302


def test_guesses_at_the_same_moment_are_counted_one_by_one(people: dict[str, Person], clock: Any) -> None:
    from django.db import connections

    from bedsite.doors import guesses

    passed: list[bool] = []

    def one() -> None:
        try:
            guesses.begin(["name x"], clock.at)
            passed.append(True)
        except guesses.Wait:
            passed.append(False)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=one) for _ in range(16)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum(passed) == 5 and len(passed) == 16


def test_what_was_typed_as_a_name_is_not_kept(people: dict[str, Person]) -> None:
    from bedsite.records.models import DoorNote, Guess

    attempt("my secret password", "x")
    kept = "".join(str(vars(row)) for model in (Guess, DoorNote) for row in model.objects.all())
    assert "secret" not in kept and Guess.objects.count() == 2


def test_pins_and_badges_are_slowed_by_device_and_person(
    people: dict[str, Person], tablet: tuple[Device, Client], clock: Any
) -> None:
    from bedsite.doors import devices, guesses, people_acts, unlock

    device, maker = tablet[0], people["maker"]
    unlock.set_pin(maker, "4711")
    badge = people_acts.new_badge(maker)
    for wrong in ("0000", "0001", "0002"):
        with pytest.raises(unlock.Locked, match="do not fit"):
            unlock.unlock(device, pin=wrong, name_key=maker.key)
    for wrong in ("NOSUCH", ""):
        with pytest.raises(unlock.Locked):
            unlock.unlock(device, badge=wrong or "-", name_key="")
    with pytest.raises(guesses.Wait):
        unlock.unlock(device, badge=badge)
    other = devices.new_device("another", "press")
    with pytest.raises(unlock.Locked):
        unlock.unlock(other, pin="0003", name_key=maker.key)
    with pytest.raises(unlock.Locked):
        unlock.unlock(other, pin="0004", name_key=maker.key)
    with pytest.raises(guesses.Wait):
        unlock.unlock(other, pin="4711", name_key=maker.key)
    clock.move(seconds=1)
    assert unlock.unlock(other, pin="4711", name_key=maker.key).person == maker.key
    assert unlock.unlock(device, badge=badge).person == maker.key


def test_own_password_asked_once_more_is_slowed_too(people: dict[str, Person], signed_in: Any, clock: Any) -> None:
    client = signed_in("viewer")
    change = {"before": "wrong", "password": "a new one, long", "again": "a new one, long"}
    for _ in range(5):
        assert client.post("/me/password", change).status_code == 422
    assert client.post("/me/password", change | {"before": PASSWORD}).status_code == 429
    assert client.post("/me/pin", {"p-before": PASSWORD, "p-pin": "4711"}).status_code == 429
    clock.move(seconds=1)
    assert client.post("/me/password", change | {"before": PASSWORD}).status_code == 302
