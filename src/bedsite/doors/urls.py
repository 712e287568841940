"""Addresses of the doors."""

from __future__ import annotations

from django.urls import URLPattern, path

from bedsite.doors.pages import audit, coming_in, me, people, tablets

app_name = "doors"
urlpatterns: list[URLPattern] = [
    path("sign-in", coming_in.sign_in, name="sign-in"),
    path("sign-out", coming_in.sign_out, name="sign-out"),
    path("first/<str:secret>", coming_in.first, name="first"),
    path("password/<str:secret>", coming_in.password, name="password"),
    path("tablet/<str:secret>", coming_in.tablet, name="tablet"),
    path("me", me.me, name="me"),
    path("me/password", me.password, name="my-password"),
    path("me/pin", me.pin, name="my-pin"),
    path("people", people.people, name="people"),
    path("people/new", people.new, name="new-person"),
    path("people/<str:key>", people.person, name="person"),
    path("people/<str:key>/roles", people.roles, name="person-roles"),
    path("people/<str:key>/shut-out", people.shut_out, name="person-shut-out"),
    path("people/<str:key>/let-in", people.let_in, name="person-let-in"),
    path("people/<str:key>/erase", people.erase, name="person-erase"),
    path("people/<str:key>/badge", people.badge, name="person-badge"),
    path("people/<str:key>/pin", people.pin, name="person-pin"),
    path("people/<str:key>/link", people.link, name="person-link"),
    path("tablets", tablets.tablets, name="devices"),
    path("tablets/new", tablets.new, name="new-device"),
    path("tablets/<str:key>/link", tablets.link, name="device-link"),
    path("tablets/<str:key>/shut-out", tablets.shut_out, name="device-shut-out"),
    path("audit", audit.audit, name="audit"),
]
