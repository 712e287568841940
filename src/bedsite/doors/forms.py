"""Forms of the doors: what a browser sent, as plain text; the acts judge it."""

from __future__ import annotations

from typing import Any

from django import forms

from bedsite.doors.rights import ROLES
from bedwright.errors import FaultsFound

LONGEST_PASSWORD = 200


def _secret(label: str, **more: Any) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=LONGEST_PASSWORD,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": more.pop("autocomplete", "new-password")}),
        **more,
    )


class SignIn(forms.Form):
    """Name and password."""

    sign_in = forms.CharField(
        label="Sign-in name",
        max_length=80,
        widget=forms.TextInput(attrs={"autocomplete": "username", "autofocus": True}),
    )
    password = _secret("Password", autocomplete="current-password")


class Told(forms.Form):
    """A form whose acts refuse with faults that stand under the box they name."""

    def take(self, refused: FaultsFound) -> None:
        """Put the faults of a refusal under their boxes."""
        for fault in refused.faults:
            says = "; ".join(part for part in (fault.says, fault.remedy) if part)
            if fault.value:
                says = f"{fault.value} {says}"
            self.add_error(fault.field if fault.field in self.fields else None, says)


class Twice(Told):
    """A new password, typed twice."""

    password = _secret("New password", help_text="12 signs at least; a few plain words in a row do well")
    again = _secret("The same again")

    def clean(self) -> dict[str, Any]:
        """The two must be alike."""
        found: dict[str, Any] = super().clean() or {}
        if found.get("password") and found.get("again") and found["password"] != found["again"]:
            self.add_error("again", "is not the same as above; type both again")
        return found


class FirstOwner(Twice):
    """The owner, made by a one-time link."""

    name = forms.CharField(label="Your name", max_length=80, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    sign_in = forms.CharField(
        label="Sign-in name", max_length=80, widget=forms.TextInput(attrs={"autocomplete": "username"})
    )
    field_order = ("name", "sign_in", "password", "again")


class OwnPassword(Twice):
    """A change of one's own password."""

    before = _secret("Password so far", autocomplete="current-password")
    field_order = ("before", "password", "again")


class OwnPin(Told):
    """A new PIN of one's own."""

    before = _secret("Your password", autocomplete="current-password")
    pin = forms.CharField(
        label="New PIN",
        max_length=8,
        help_text="4 to 8 digits, for the tablets of the floor",
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
    )


class NewPerson(Told):
    """Somebody new."""

    name = forms.CharField(label="Name", max_length=80)
    sign_in = forms.CharField(
        label="Sign-in name", max_length=80, required=False, help_text="leave empty for somebody who only uses tablets"
    )
    roles = forms.MultipleChoiceField(label="Roles", choices=[(role, role) for role in ROLES], required=False)


class Roles(Told):
    """The roles of somebody."""

    roles = forms.MultipleChoiceField(label="Roles", choices=[(role, role) for role in ROLES], required=False)


class NewPin(Told):
    """A PIN that the owner gives somebody."""

    pin = forms.CharField(
        label="New PIN",
        max_length=8,
        help_text="4 to 8 digits",
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
    )


class NewDevice(Told):
    """A tablet for a work place."""

    name = forms.CharField(label="Name of the tablet", max_length=60)
    place = forms.ChoiceField(label="Work place", choices=())

    def __init__(self, *args: Any, places: list[tuple[str, str]], **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields["place"].choices = places
