"""A real `bedwright serve`: ready soon, one at a time, its secrets nowhere, and nothing left behind however it ends."""

from __future__ import annotations

import contextlib
import http.client
import os
import re
import signal
import socket
import ssl
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.filterwarnings("ignore::ResourceWarning")
READY = 5.0


def free_port() -> int:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        return int(held.getsockname()[1])


def asked(url: str, **more: Any) -> tuple[int, str]:
    """Status and text of an answer; (0, "") where nothing answers."""
    try:
        with urllib.request.urlopen(urllib.request.Request(url, **more), timeout=5) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()
    except (OSError, http.client.HTTPException):
        return 0, ""


class Server:
    """`bedwright serve` in a process of its own; all it says goes to a file."""

    def __init__(self, works: Path, *options: str) -> None:
        self.port = free_port()
        self.said = works.parent / f"said-{self.port}.txt"
        order = [sys.executable, "-m", "bedcli", "serve", str(works), "--port", str(self.port), *options]
        self.begun = time.monotonic()
        with self.said.open("w") as out:
            self.process = subprocess.Popen(order, stdout=out, stderr=subprocess.STDOUT)
        self.base = f"http://127.0.0.1:{self.port}"

    def ready(self) -> float:
        """Wait for the first 200 of /sign-in; how long it took [s]."""
        while asked(f"{self.base}/sign-in")[0] != 200:
            assert self.process.poll() is None, self.said.read_text()
            assert time.monotonic() - self.begun < 60, self.said.read_text()
            time.sleep(0.05)
        return time.monotonic() - self.begun

    def children(self) -> list[int]:
        """Processes that this server started, by what the system tells."""
        found = []
        for one in Path("/proc").glob("[0-9]*/stat"):
            with contextlib.suppress(OSError):
                fields = one.read_text().rpartition(")")[2].split()
                if fields[1] == str(self.process.pid) and fields[0] != "Z":
                    found.append(int(one.parent.name))
        return found

    def end(self, told: signal.Signals = signal.SIGTERM) -> int:
        if self.process.poll() is None:
            self.process.send_signal(told)
        return self.process.wait(30)


@pytest.fixture
def served(works_folder: Path) -> Iterator[Server]:
    server = Server(works_folder)
    yield server
    with contextlib.suppress(ProcessLookupError, subprocess.TimeoutExpired):
        server.end()
    if server.process.poll() is None:
        server.process.kill()


def alive(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] not in "ZX"
    except OSError:
        return False


def gone_within(pids: list[int], seconds: float) -> bool:
    until = time.monotonic() + seconds
    while any(alive(pid) for pid in pids):
        if time.monotonic() > until:
            return False
        time.sleep(0.05)
    return True


def can_bind(port: int) -> bool:
    with socket.socket() as tried:
        tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)  # connections just closed do not count
        try:
            tried.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True


def test_ready_within_five_seconds_and_the_first_link_opens(served: Server, works_folder: Path) -> None:
    took = served.ready()
    print(f"ready after {took:.2f} s")
    assert took <= READY
    link = re.search(r"http://127\.0\.0\.1:\d+/first/(\S+)", served.said.read_text())
    assert link is not None and asked(link[0])[0] == 200
    assert (works_folder / ".secret").stat().st_mode & 0o777 == 0o600
    asked(f"{link[0]}x")
    asked(served.base + "/nowhere/" + link[1])
    assert asked(served.base + "/sign-in", headers={"Host": "evil.example"})[0] == 400
    assert served.end() == 0
    assert served.said.read_text().count(link[1]) == 1, "the link was printed, and never logged"
    assert len(served.children()) == 0 and can_bind(served.port)


def test_a_second_server_and_a_taken_port_are_refused(served: Server, works_folder: Path, tmp_path: Path) -> None:
    served.ready()
    again = subprocess.run(
        [sys.executable, "-m", "bedcli", "serve", str(works_folder), "--port", str(free_port())],
        capture_output=True, text=True,
    )  # fmt: skip
    assert again.returncode == 2 and f"is served already at {served.base}" in again.stderr
    served.end()
    with socket.socket() as held:
        held.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        held.bind(("127.0.0.1", served.port))
        held.listen()
        other = subprocess.run(
            [sys.executable, "-m", "bedcli", "serve", str(works_folder), "--port", str(served.port)],
            capture_output=True, text=True,
        )  # fmt: skip
    assert other.returncode == 2 and f"port {served.port} of 127.0.0.1 cannot be listened on" in other.stderr


@pytest.mark.parametrize("told", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGKILL])
def test_nothing_is_left_behind_however_it_ends(served: Server, told: signal.Signals) -> None:
    served.ready()
    until = time.monotonic() + 20
    while len(children := served.children()) < 2:
        assert time.monotonic() < until, f"the server and its worker of long work: {children}"
        time.sleep(0.1)
    code = served.end(told)
    assert code == (-9 if told is signal.SIGKILL else 0)
    assert gone_within(children, 12), [Path(f"/proc/{pid}/cmdline").read_text() for pid in children if alive(pid)]
    until = time.monotonic() + 3  # a process shows as ended while its last thread still lets go of the port
    while not can_bind(served.port):
        assert time.monotonic() < until, "something still listens"
        time.sleep(0.02)


def test_a_worker_of_long_work_that_dies_is_started_again(served: Server) -> None:
    served.ready()

    def worker() -> list[int]:
        return [pid for pid in served.children() if "longwork" in Path(f"/proc/{pid}/cmdline").read_text()]

    until = time.monotonic() + 20
    while not (first := worker()):
        assert time.monotonic() < until
        time.sleep(0.1)
    os.kill(first[0], signal.SIGKILL)
    while not (second := worker()) or second == first:
        assert time.monotonic() < until
        time.sleep(0.1)
    assert asked(served.base + "/sign-in")[0] == 200


def test_a_process_that_answers_pages_and_dies_is_started_again(served: Server) -> None:
    served.ready()
    pages = [pid for pid in served.children() if "longwork" not in Path(f"/proc/{pid}/cmdline").read_text()]
    os.kill(pages[0], signal.SIGKILL)
    until = time.monotonic() + 20
    while asked(served.base + "/sign-in")[0] != 200:
        assert time.monotonic() < until
        time.sleep(0.1)


def test_a_body_in_chunks_is_refused_and_a_large_one_unread(served: Server) -> None:
    served.ready()

    def raw(head: str, body: bytes) -> str:
        with socket.create_connection(("127.0.0.1", served.port), 10) as held:
            lines = f"POST /sign-in HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\nConnection: close\r\n{head}\r\n\r\n"
            held.sendall(lines.encode())
            with contextlib.suppress(OSError):
                held.sendall(body)
            got = b""
            with contextlib.suppress(OSError):
                while piece := held.recv(65536):
                    got += piece
        return got.split(b"\r\n", 1)[0].decode()

    chunk = b"%x\r\n" % 65536 + b"x" * 65536 + b"\r\n"
    assert " 411 " in raw("Transfer-Encoding: chunked", chunk * 32 + b"0\r\n\r\n")
    assert " 413 " in raw("Content-Length: 50000000", b"x" * 1000)
    assert asked(served.base + "/sign-in")[0] == 200


def test_an_owner_by_command_link_and_the_way_back(served: Server, works_folder: Path) -> None:
    served.ready()
    made = subprocess.run(
        [sys.executable, "-m", "bedcli", "owner", str(works_folder), "--link"], capture_output=True, text=True
    )
    assert made.returncode == 0 and made.stdout.startswith(f"{served.base}/first/")
    assert asked(made.stdout.strip())[0] == 200
    asking = subprocess.run(
        [sys.executable, "-m", "bedcli", "owner", str(works_folder)],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
    )
    assert asking.returncode == 2 and "--link" in asking.stderr
    nobody = subprocess.run(
        [sys.executable, "-m", "bedcli", "owner", str(works_folder), "--link", "--sign-in", "nobody"],
        capture_output=True, text=True,
    )  # fmt: skip
    assert nobody.returncode == 2 and "nobody signs in as nobody" in nobody.stderr


def test_an_owner_by_the_terminal(works_folder: Path) -> None:
    import pty

    pid, terminal = pty.fork()
    if pid == 0:
        os.execv(sys.executable, [sys.executable, "-m", "bedcli", "owner", str(works_folder)])
    heard = b""
    for question, said in (
        (b"Sign-in name", b"ann\n"), (b"Name", b"Ann Reed\n"), (b"Password", b"short\n"), (b"same again", b"short\n"),
        (b"Password", b"sheep cross at dusk\n"), (b"same again", b"sheep cross at dusk\n"),
    ):  # fmt: skip
        piece = b""
        while not re.search(question + rb"[^\n]*: ?$", piece):
            piece += os.read(terminal, 1000)
        heard += piece
        os.write(terminal, said)
    with contextlib.suppress(OSError):
        while piece := os.read(terminal, 1000):
            heard += piece
    assert os.waitpid(pid, 0)[1] == 0, heard
    assert b"ann owns the works" in heard and b"sheep" not in heard and b"at least 12" in heard
    from bedsite.doors import people_acts

    assert [person.sign_in for person in people_acts.owners()] == ["ann"]


@pytest.fixture
def certificate(tmp_path: Path) -> tuple[Path, Path]:
    """A certificate of works.example, made for this test."""
    import shutil

    if shutil.which("openssl") is None:
        pytest.skip("openssl is not here to make a certificate")
    files = tmp_path / "c.pem", tmp_path / "k.pem"
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=works.example",
         "-addext", "subjectAltName=DNS:works.example", "-out", str(files[0]), "-keyout", str(files[1])],
        check=True, capture_output=True,
    )  # fmt: skip
    files[1].chmod(0o600)
    return files


def test_shared_with_tls(works_folder: Path, certificate: tuple[Path, Path]) -> None:
    cert, key = certificate
    options = ("--shared", "--host-name", "works.example", "--address", "127.0.0.1")
    tls = ("--tls-certificate", str(cert), "--tls-key", str(key))
    server = Server(works_folder, *options, *tls)
    context = ssl.create_default_context(cafile=str(cert))

    def head(host: str) -> bytes:
        raw = socket.create_connection(("127.0.0.1", server.port), 5)
        with context.wrap_socket(raw, server_hostname="works.example") as held:
            held.sendall(f"GET /sign-in HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n".encode())
            got = b""
            while piece := held.recv(65536):
                got += piece
        return got

    try:
        until = time.monotonic() + 30
        while True:
            assert server.process.poll() is None and time.monotonic() < until, server.said.read_text()
            with contextlib.suppress(OSError):
                got = head(f"works.example:{server.port}")
                break
            time.sleep(0.1)
        assert b" 200 " in got.split(b"\r\n")[0] and b"strict-transport-security" in got.lower()
        assert b"__Host-bedwright-csrf" in got and b"Secure" in got
        assert b" 400 " in head("127.0.0.1").split(b"\r\n")[0]
        assert "/first/" not in server.said.read_text() and "bedwright owner" in server.said.read_text()
        assert asked(server.base + "/sign-in")[0] == 0, "no http on that port"
    finally:
        server.end()
    key.chmod(0o644)
    refused = Server(works_folder, *options, *tls)
    assert refused.end(signal.SIGCONT) == 2 and "chmod 600" in refused.said.read_text()


def test_behind_a_proxy_only_that_proxy_is_believed(works_folder: Path) -> None:
    server = Server(works_folder, "--shared", "--host-name", "works.example", "--behind-proxy", "127.0.0.1")
    host, url = {"Host": "works.example"}, f"{server.base}/sign-in"

    class Stay(urllib.request.HTTPRedirectHandler):
        def redirect_request(self, *_: Any) -> None:
            return None

    opener = urllib.request.build_opener(Stay)

    def status(**more: str) -> tuple[int, str]:
        try:
            with opener.open(urllib.request.Request(url, headers={**host, **more}), timeout=5) as answer:
                return answer.status, ""
        except urllib.error.HTTPError as error:
            return error.code, error.headers.get("Location", "")
        except OSError:
            return 0, ""

    try:
        until = time.monotonic() + 30
        while status()[0] == 0:
            assert server.process.poll() is None and time.monotonic() < until, server.said.read_text()
            time.sleep(0.1)
        assert status() == (301, "https://works.example/sign-in")
        assert status(**{"X-Forwarded-Proto": "https"})[0] == 200
    finally:
        server.end()


def test_check_says_what_stands_in_the_way(works_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("DJANGO_ALLOW_ASYNC_UNSAFE", raising=False)  # ours, for the browser's driver
    order = [sys.executable, "-m", "bedcli", "serve", str(works_folder), "--port", str(free_port()), "--check"]
    good = subprocess.run(order, capture_output=True, text=True)
    assert good.returncode == 0 and "in order: own_machine" in good.stdout, good.stdout + good.stderr
    shared = subprocess.run(
        [*order, "--shared", "--host-name", "works.example", "--behind-proxy", "127.0.0.1"],
        capture_output=True,
        text=True,
    )
    assert shared.returncode == 0 and "in order: shared" in shared.stdout, shared.stdout + shared.stderr
    (works_folder / ".secret").chmod(0o644)
    bad = subprocess.run(order, capture_output=True, text=True)
    assert bad.returncode == 1 and "may be read by others" in bad.stdout
    (tmp_path / "empty").mkdir()
    none = subprocess.run(
        [sys.executable, "-m", "bedcli", "serve", str(tmp_path / "empty")], capture_output=True, text=True
    )
    assert none.returncode == 2 and "bedwright adopt" in none.stderr


def test_a_certificate_that_is_none_of_its_key_stops_the_start(
    works_folder: Path, certificate: tuple[Path, Path], capfd: pytest.CaptureFixture[str]
) -> None:
    from click.testing import CliRunner

    from bedcli.main import main

    chain, key = certificate
    pairs = ((key, key), (chain, chain))
    chain.chmod(0o600)
    for first, second in pairs:
        told = ["--shared", "--host-name", "works.example", "--tls-certificate", str(first), "--tls-key", str(second)]
        for more in (["--check"], []):
            done = CliRunner().invoke(main, ["serve", str(works_folder), "--port", str(free_port()), *told, *more])
            assert done.exit_code in (1, 2) and "no certificate and its key" in done.output
            assert "Stop with" not in done.output
