"""The two profiles: what is allowed to start, Django's own checks of a deployed site, files that hold secrets."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from bedcli.serve import chosen
from bedsite.doors import secret_file
from bedsite.store import place_of
from bedwright.errors import NotReadable


def django(works: Path, profile: str, *order: str, **told: str) -> subprocess.CompletedProcess[str]:
    environment = {
        **{name: value for name, value in os.environ.items() if not name.startswith(("BEDWRIGHT", "DJANGO"))},
        "BEDWRIGHT_LEDGER": str(works / "x.sqlite3"),
        "BEDWRIGHT_SECRET_FILE": str(secret_file.secret_of(works)),
        "DJANGO_SETTINGS_MODULE": f"bedsite.settings.{profile}",
        **told,
    }
    return subprocess.run([sys.executable, "-m", "django", *order], env=environment, capture_output=True, text=True)


@pytest.mark.parametrize(("profile", "proxy"), [("shared", ""), ("shared", "192.0.2.1"), ("own_machine", "")])
def test_check_deploy_finds_nothing(tmp_path: Path, profile: str, proxy: str) -> None:
    told = {"BEDWRIGHT_HOSTS": "works.example", "BEDWRIGHT_PROXY": proxy}
    found = django(tmp_path, profile, "check", "--deploy", "--fail-level", "DEBUG", **told)
    assert found.returncode == 0 and "no issues" in found.stdout + found.stderr, found.stderr


def test_the_shared_profile_is_https_only(works_folder: Path) -> None:
    script = (
        "import django; django.setup(); from django.conf import settings as s; from django.test import Client;"
        "p = Client(headers={'host': 'works.example'}).get('/sign-in');"
        "q = Client(headers={'host': 'works.example'}).get('/sign-in', secure=True);"
        "r = Client(headers={'host': 'evil.example'}).get('/sign-in', secure=True);"
        "print(p.status_code, p['Location'], q['Strict-Transport-Security'], r.status_code);"
        "print(s.SESSION_COOKIE_SECURE, s.CSRF_COOKIE_SECURE, s.SESSION_COOKIE_NAME, s.DEBUG, s.ALLOWED_HOSTS)"
    )
    environment = {
        **os.environ,
        "BEDWRIGHT_LEDGER": place_of(works_folder).text,  # type: ignore[union-attr]
        "BEDWRIGHT_HOSTS": "works.example",
        "DJANGO_SETTINGS_MODULE": "bedsite.settings.shared",
    }
    found = subprocess.run([sys.executable, "-c", script], env=environment, capture_output=True, text=True)
    lines = found.stdout.splitlines()
    assert (
        lines
        == [
            "301 https://works.example/sign-in max-age=31536000 400",
            "True True __Host-bedwright-session False ['works.example']",
        ]
        or "no such table" in found.stderr
    ), found.stdout + found.stderr
    assert lines, found.stderr


def test_a_secret_is_made_once_for_its_owner_alone(tmp_path: Path) -> None:
    file = secret_file.secret_of(tmp_path)
    assert file.stat().st_mode & 0o777 == 0o600
    first = secret_file.read_secret(file)
    assert len(first) >= 64 and secret_file.read_secret(secret_file.secret_of(tmp_path)) == first


@pytest.mark.parametrize("mode", [0o640, 0o604, 0o660, 0o644, 0o620])
def test_a_secret_that_others_may_touch_is_refused(tmp_path: Path, mode: int) -> None:
    file = secret_file.secret_of(tmp_path)
    file.chmod(mode)
    with pytest.raises(NotReadable, match=f"rights {mode:o}.*chmod 600"):
        secret_file.secret_of(tmp_path)
    found = django_with(file)
    assert found.returncode != 0 and "may be read by others" in found.stderr, "the processes look themselves too"


def django_with(file: Path) -> subprocess.CompletedProcess[str]:
    environment = {
        **os.environ,
        "BEDWRIGHT_SECRET_FILE": str(file),
        "DJANGO_SETTINGS_MODULE": "bedsite.settings.own_machine",
    }
    return subprocess.run([sys.executable, "-m", "django", "check"], env=environment, capture_output=True, text=True)


def test_a_secret_that_is_a_link_or_too_short_is_refused(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_text("x" * 80)
    (tmp_path / "elsewhere").chmod(0o600)
    (tmp_path / ".secret").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(NotReadable, match="not a plain file"):
        secret_file.secret_of(tmp_path)
    (tmp_path / ".secret").unlink()
    (tmp_path / ".secret").write_text("short\n")
    (tmp_path / ".secret").chmod(0o600)
    with pytest.raises(NotReadable, match="holds 5 signs"):
        secret_file.secret_of(tmp_path)


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"address": "0.0.0.0"}, "plain http"),
        ({"address": "192.0.2.1"}, "plain http"),
        ({"names": ("works.example",)}, "add --shared"),
        ({"proxy": "127.0.0.1"}, "add --shared"),
        ({"shared": True}, "needs --host-name"),
        ({"shared": True, "names": ("works.example",)}, "never go over a network in the clear"),
        ({"shared": True, "names": ("*",), "proxy": "127.0.0.1"}, "is no name of one host"),
        ({"shared": True, "names": (".example",), "proxy": "127.0.0.1"}, "is no name of one host"),
        ({"shared": True, "names": ("a.example",), "proxy": "everybody"}, "is no address"),
        ({"shared": True, "names": ("a.example",), "certificate": Path("c.pem")}, "go together"),
        ({"shared": True, "names": ("a.example",), "certificate": Path("c"), "key": Path("k")}, "is not there"),
        (
            {"shared": True, "names": ("a.example",), "certificate": Path("c"), "key": Path("k"), "proxy": "::1"},
            "not both",
        ),
    ],
)
def test_what_is_not_safe_does_not_start(options: dict[str, Any], says: str) -> None:
    given = {
        "port": 8017,
        "shared": False,
        "names": (),
        "address": None,
        "certificate": None,
        "key": None,
        "proxy": None,
    }
    with pytest.raises(NotReadable, match=says):
        chosen(**(given | options))


def test_what_is_safe_starts_and_is_called_so() -> None:
    assert chosen(8017, False, (), None, None, None, None).base == "http://127.0.0.1:8017"
    assert chosen(8017, False, (), "::1", None, None, None).base == "http://[::1]:8017"
    behind = chosen(8017, True, ("a.example",), None, None, None, "127.0.0.1")
    assert (behind.base, behind.address) == ("https://a.example", "127.0.0.1")


@pytest.mark.parametrize("said", ["password12345", "123456789012", "short", "Margaret Reed"])
def test_weak_passwords_are_refused(works_folder: Path, said: str) -> None:
    from bedsite.doors import people_acts
    from bedwright.errors import FaultsFound

    with pytest.raises(FaultsFound):
        people_acts.new_person("Margaret Reed", "m.reed", {"viewer"}, said)


def test_passwords_are_hashed_as_often_as_django_says_now(tmp_path: Path) -> None:
    from django.conf import settings
    from django.contrib.auth.hashers import PBKDF2PasswordHasher

    assert settings.PASSWORD_HASHERS[0] == "django.contrib.auth.hashers.PBKDF2PasswordHasher"
    assert PBKDF2PasswordHasher.iterations >= 1_000_000
