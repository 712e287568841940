"""The server at work: one lock, one process that answers pages, one that does long work; both end with it."""

from __future__ import annotations

import fcntl
import os
import signal
import socket
import ssl
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from bedcli.serve import Profile
from bedcli.tied import tie
from bedsite.doors.secret_file import SECRET_FILE, refuse_wider, secret_of
from bedsite.store import LEDGER_URL, Place
from bedwright.errors import BedwrightError, NotReadable

LOCK = ".serve.lock"
THREADS = 8
"""Requests at once; each has its own connection to the ledger."""
STOPS_WITHIN = 10
"""How long a process may take to end what it is at before it is killed [s]."""
AGAIN_AFTER = 2.0
"""How long after its death the worker of long work is started again [s]."""


def run_server(works: Path, place: Place, profile: Profile) -> None:
    """Serve until told to stop. Raises NotReadable for whatever stands in the way."""
    with only_server(works, profile.base):
        _prepare(works, place, profile)
        refuse_taken(profile)
        link = _first_link(profile)
        _announce(works, profile, link)
        from django.db import connections

        connections.close_all()  # a process that is split off must not share one
        _serve(profile)


@contextmanager
def only_server(works: Path, base: str) -> Iterator[None]:
    """Hold the lock that restore and a second server look at; it holds the address. Raises NotReadable."""
    file = works / LOCK
    held = os.open(file, os.O_CREAT | os.O_RDWR, 0o600)
    with os.fdopen(held, "r+", encoding="utf-8") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            where = lock.read().strip()
            raise NotReadable(f"{works} is served already{f' at {where}' if where else ''}; stop that first") from None
        lock.seek(0)
        lock.truncate()
        lock.write(base + "\n")
        lock.flush()
        try:
            yield
        finally:
            lock.seek(0)
            lock.truncate()


def served_at(works: Path) -> str:
    """Where a works is served just now, "" where it is not."""
    file = works / LOCK
    if not file.is_file():
        return ""
    with file.open("r", encoding="utf-8") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_SH | fcntl.LOCK_NB)
        except OSError:
            return lock.read().strip() or "?"
    return ""


def _prepare(works: Path, place: Place, profile: Profile) -> None:
    """The environment of all processes, secrets looked at, the ledger opened. Raises NotReadable."""
    from bedsite.opening import open_ledger

    if (works / LEDGER_URL).is_file():
        refuse_wider(works / LEDGER_URL)
    if profile.key is not None:
        refuse_wider_key(profile.key)
        refuse_no_pair(profile)
    os.environ[SECRET_FILE] = str(secret_of(works))
    os.environ["DJANGO_SETTINGS_MODULE"] = profile.module
    os.environ["BEDWRIGHT_HOSTS"] = ",".join(profile.names)
    os.environ["BEDWRIGHT_PROXY"] = profile.proxy
    open_ledger(place)


def refuse_wider_key(file: Path) -> None:
    """Refuse a private key that everybody of this machine may read. Raises NotReadable."""
    if file.stat().st_mode & 0o007:
        raise NotReadable(f"{file} may be read by everybody of this machine; run  chmod 600 {file}")


def refuse_no_pair(profile: Profile) -> None:
    """Refuse a certificate and a key that cannot be read, or are not of each other. Raises NotReadable."""
    assert profile.certificate is not None
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(profile.certificate, profile.key, password="")
    except (ssl.SSLError, ValueError) as error:
        reason = getattr(error, "reason", "") or str(error)
        raise NotReadable(
            f"{profile.certificate} and {profile.key} are no certificate and its key "
            f"({str(reason).replace('_', ' ').casefold()}); name the chain and the key of one certificate, both PEM, "
            "the key without a passphrase"
        ) from None


def refuse_taken(profile: Profile) -> None:
    """Refuse a port on which something listens already, or where this program may not. Raises NotReadable."""
    family = socket.AF_INET6 if ":" in profile.address else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as tried:
        tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind((profile.address, profile.port))
        except OSError as error:
            raise NotReadable(
                f"port {profile.port} of {profile.address} cannot be listened on ({error.strerror}); "
                "stop what listens there, or choose another with --port"
            ) from None


def _first_link(profile: Profile) -> str:
    """The link that makes the first owner, where there is none and the profile is this machine's own."""
    from bedsite.doors import one_time, people_acts

    if profile.shared or people_acts.owners():
        return ""
    return f"{profile.base}/first/{one_time.make('first')}"


def _announce(works: Path, profile: Profile, link: str) -> None:
    from bedsite.doors import people_acts

    kind = "shared: several machines, https only" if profile.shared else "own machine: this machine alone"
    click.echo(f"{profile.base}/  ({kind})")
    if link:
        click.echo("Nobody owns this works yet. Open this link within 15 minutes, on this machine; it works once:")
        click.echo(link)
        click.echo(f"Later, make another with  bedwright owner {works} --link")
    elif not people_acts.owners():
        click.echo(f"Nobody owns this works yet; on this machine run  bedwright owner {works}")
    click.echo("Stop with ^C.")
    sys.stdout.flush()


def _serve(profile: Profile) -> None:
    from granian import Granian
    from granian.constants import Interfaces
    from granian.log import LogLevels

    server = Granian(
        "bedsite.wsgi:application",
        address=profile.address,
        port=profile.port,
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=THREADS,
        respawn_failed_workers=True,
        workers_kill_timeout=STOPS_WITHIN,
        log_access=False,  # a one-time link stands in its path
        log_level=LogLevels.error,  # its warnings are on tuning
        ssl_cert=profile.certificate,
        ssl_key=profile.key,
        websockets=False,
    )
    work = LongWork()

    def started() -> None:
        # a terminal that closes ends the server too, where granian would only begin anew
        signal.signal(signal.SIGHUP, server.signal_handler_interrupt)
        work.start()

    server.on_startup(started)
    try:
        server.serve(target_loader=Load(os.getpid()), wrap_loader=False)
    finally:
        work.stop()


class Load:
    """Reads the site in the process that answers pages, tied to the server."""

    def __init__(self, parent: int) -> None:
        self.parent = parent

    def __call__(self) -> Callable[..., Any]:
        """The application."""
        tie(self.parent)
        from bedsite.wsgi import application

        answer: Callable[..., Any] = application
        return answer


_NO_FORK = threading.Lock()
"""A process split off while another is begun would hold that one's pipe open, and its beginner waiting, for ever."""
os.register_at_fork(before=_NO_FORK.acquire, after_in_parent=_NO_FORK.release, after_in_child=_NO_FORK.release)


class LongWork:
    """Keeps one worker of long work alive until told to stop."""

    def __init__(self, module: str = "bedsite.longwork.worker") -> None:
        self.module = module
        self._stopping = threading.Event()
        self._process: subprocess.Popen[bytes] | None = None
        self._thread = threading.Thread(target=self._keep, daemon=True, name="long work")

    def start(self) -> None:
        """Start the worker, and again whenever it dies."""
        self._thread.start()

    def stop(self) -> None:
        """Tell the worker to stop, and kill it where it does not."""
        self._stopping.set()
        if self._thread.is_alive():
            self._thread.join(STOPS_WITHIN + 5)

    def _keep(self) -> None:
        while not self._stopping.is_set():
            with _NO_FORK:
                self._process = subprocess.Popen([sys.executable, "-m", "bedcli.tied", self.module, str(os.getpid())])
            while self._process.poll() is None and not self._stopping.wait(0.2):
                pass
            if self._stopping.is_set():
                break
            print(f"the worker of long work ended ({self._process.returncode}); starting another", file=sys.stderr)
            self._stopping.wait(AGAIN_AFTER)
        self._end()

    def _end(self) -> None:
        process = self._process
        if process is None or process.poll() is not None:
            return
        process.terminate()
        try:
            process.wait(STOPS_WITHIN)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def check_all(works: Path, place: Place, profile: Profile) -> int:
    """`serve --check`: everything that would stop a start, Django's own checks for a deployed site besides. 0 or 1."""
    found: list[str] = []
    try:
        _prepare(works, place, profile)
    except BedwrightError as refused:
        found.append(str(refused))
    else:
        found.extend(_deploy_faults())
        if not served_at(works):
            try:
                refuse_taken(profile)
            except NotReadable as refused:
                found.append(str(refused))
    for line in found:
        click.echo(line)
    click.echo(f"{len(found)} found" if found else f"in order: {profile.module.rpartition('.')[2]}, {profile.base}")
    return 1 if found else 0


def _deploy_faults() -> list[str]:
    from django.core.checks import run_checks

    return [str(one) for one in run_checks(include_deployment_checks=True) if not one.is_silenced()]
