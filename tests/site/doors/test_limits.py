"""How much a request may bring, whose host it may name, whose word on addresses counts, what is served as a file."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.test.utils import override_settings


def test_what_is_too_large_is_refused_by_its_stated_length(signed_in: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    from django.core.handlers.wsgi import WSGIRequest

    owner = signed_in("owner")

    def read(*_: Any) -> bytes:
        raise AssertionError("the body was read")

    monkeypatch.setattr(WSGIRequest, "_load_post_and_files", read)
    answer = owner.post("/people/new", CONTENT_LENGTH=str(1024 * 1024 + 1))
    assert answer.status_code == 413 and "This is 1.0 MB; this page takes 1 MB at most." in answer.content.decode()
    assert owner.post("/workbook/take-in/", CONTENT_LENGTH=str(40 * 1024 * 1024 + 1)).status_code == 413
    assert Client().post("/nowhere", CONTENT_LENGTH=str(50 * 1024 * 1024)).status_code == 413
    assert Client().post("/workbook/take-in/", CONTENT_LENGTH=str(30 * 1024 * 1024)).status_code == 403, "unread too"


def test_an_import_may_be_larger(signed_in: Any) -> None:
    from django.core.files.uploadedfile import SimpleUploadedFile

    file = SimpleUploadedFile("x.xlsx", b"x" * (2 * 1024 * 1024))
    assert signed_in("owner").post("/workbook/take-in/", {"file": file}).status_code not in (413, 500)


def test_form_fields_beyond_one_megabyte_are_refused_within_a_large_upload(signed_in: Any) -> None:
    answer = signed_in("owner").post("/workbook/take-in/", {"x": "y" * (2 * 1024 * 1024)})
    assert answer.status_code in (400, 413)


def test_a_body_of_unknown_length_is_refused(signed_in: Any) -> None:
    answer = signed_in("owner").generic("POST", "/people/new", b"", HTTP_TRANSFER_ENCODING="chunked", CONTENT_LENGTH="")
    assert answer.status_code == 411 and "does not say how long it is" in answer.content.decode()


def test_too_many_fields_are_refused_and_many_are_not(signed_in: Any) -> None:
    owner = signed_in("owner")
    for fields, status in ((20_000, 422), (20_001, 400)):
        body = "&".join(f"layers-{n}-thickness=1" for n in range(fields))
        answer = owner.post("/people/new", body, content_type="application/x-www-form-urlencoded")
        assert answer.status_code == status


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "evil.example:80@127.0.0.1", "", "a b"])
def test_another_host_is_refused(signed_in: Any, host: str) -> None:
    answer = signed_in("owner").get("/people", HTTP_HOST=host)
    assert answer.status_code == 400 and "evil" not in answer.content.decode()


def test_a_forwarded_host_is_not_believed(signed_in: Any, people: dict[str, Any]) -> None:
    address = f"/people/{people['viewer'].key}/link"
    page = signed_in("owner").post(address, HTTP_X_FORWARDED_HOST="evil.example", HTTP_X_FORWARDED_PROTO="https")
    assert "http://testserver/password/" in page.content.decode() and "evil" not in page.content.decode()


def test_only_the_named_proxy_is_believed(people: dict[str, Any]) -> None:
    from bedsite.records.models import DoorNote

    def seen(peer: str, forwarded: str) -> str:
        Client(REMOTE_ADDR=peer).post("/sign-in", {"sign_in": "x", "password": "y"}, HTTP_X_FORWARDED_FOR=forwarded)
        return str(DoorNote.objects.latest("pk").address)

    assert seen("192.0.2.1", "127.0.0.1") == "192.0.2.1"
    with override_settings(BEDWRIGHT_PROXY="192.0.2.1"):
        assert seen("192.0.2.1", "127.0.0.1, 198.51.100.7") == "198.51.100.7", "what the proxy itself saw"
        assert seen("192.0.2.1", "no address") == "192.0.2.1"
        assert seen("192.0.2.2", "198.51.100.8") == "192.0.2.2"


@pytest.mark.parametrize(
    "path", ["/static/../settings/common.py", "/static/%2e%2e/settings/common.py", "/static//etc/passwd", "/static/",
             "/static/parts/../../wsgi.py", "/static/parts/bedwright.css%00", "/static/..\\wsgi.py"],
)  # fmt: skip
def test_no_other_file_is_served(works_folder: Any, path: str) -> None:
    assert Client().get(path).status_code in (400, 404)


def test_files_of_pages_are_kept_by_caches_and_carry_the_sign_of_their_content(works_folder: Any) -> None:
    import re

    page = Client().get("/sign-in").content.decode()
    found = re.findall(r'(?:href|src)="(/static/[^"]+)"', page)
    assert len(found) >= 3 and all("?v=" in one for one in found)
    for address in [*found, "/static/parts/work-sans.ttf"]:
        answer = Client().get(address)
        assert answer.status_code == 200 and "max-age=604800" in answer["Cache-Control"], address
        assert answer["Content-Security-Policy"] and "Access-Control-Allow-Origin" not in answer
        assert answer["X-Content-Type-Options"] == "nosniff"


def test_a_watcher_needs_no_session(works_folder: Any) -> None:
    answer = Client().get("/health")
    assert (answer.status_code, answer.content, answer.cookies.output()) == (200, b"here\n", "")
