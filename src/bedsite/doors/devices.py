"""Shared tablets: let in once by a one-time link, known from then on by a signed cookie, shut out by the owner."""

from __future__ import annotations

import hashlib
import secrets
from datetime import timedelta

from django.conf import settings
from django.core import signing
from django.db import transaction
from django.http import HttpRequest, HttpResponse

from bedsite.doors import clock, unlock
from bedsite.records.models import Device, OneTime
from bedsite.records.people import new_key

SALT = "bedwright.device"
LASTS = timedelta(days=400)
SEEN_EVERY = timedelta(minutes=5)


def device_of(request: HttpRequest) -> Device | None:
    """The device whose cookie came with a request, None where there is none or it was shut out."""
    held = request.COOKIES.get(settings.DEVICE_COOKIE_NAME)
    if not held:
        return None
    try:
        secret = signing.loads(held, salt=SALT, max_age=LASTS)
    except signing.BadSignature:
        return None
    if not isinstance(secret, str):
        return None
    found = Device.objects.filter(token=_hash(secret), active=True).first()
    if found is not None and (found.seen_at is None or clock.now() - found.seen_at > SEEN_EVERY):
        Device.objects.filter(pk=found.pk).update(seen_at=clock.now())
    return found


def new_device(name: str, place: str) -> Device:
    """A device for a work place (its folded code), not let in yet."""
    return Device.objects.create(key=new_key(), name=name, place=place, made_at=clock.now())


def let_in(device: Device, response: HttpResponse, secure: bool) -> None:
    """Give the browser that gets this response the device's cookie; an earlier one of the device counts no longer."""
    secret = secrets.token_urlsafe(32)
    device.token = _hash(secret)
    device.save(update_fields=["token"])
    response.set_cookie(
        settings.DEVICE_COOKIE_NAME,
        signing.dumps(secret, salt=SALT),
        max_age=LASTS,
        secure=secure,
        httponly=True,
        samesite="Strict",
    )


def shut_out(device: Device) -> None:
    """Let a device in no longer: its cookie, open links and unlocks all end."""
    with transaction.atomic():
        device.active = False
        device.token = ""
        device.save(update_fields=["active", "token"])
        unlock.lock_all(device=device.key)
        OneTime.objects.filter(what="device", subject=device.key, used=None).delete()


def _hash(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
