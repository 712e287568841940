"""Who presses the builds of a weigh-up: this process, several of this machine, or a dask cluster by its address.

Every one gives the same answers in the same order. What is sent is plain text and numbers, and one function by name.
"""

from __future__ import annotations

import os
import re
import signal
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from bedwright import __version__
from bedwright.errors import Fault, FaultsFound, NotReadable
from bedwright.weigh_up import weigh

THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "NUMBA_NUM_THREADS")
MOST = 64
LOOPBACK = re.compile(r"tcp://(127\.\d{1,3}\.\d{1,3}\.\d{1,3}|localhost|\[::1\]):\d{1,5}")
SECURE = re.compile(r"tls://[^/\s]+:\d{1,5}")
HOW = (
    "give tcp://127.0.0.1:PORT of a cluster on this machine, or tls://HOST:PORT with --cluster-keys FOLDER: what goes "
    "over a network unlocked could be read and answered by anybody"
)
KEYS = ("ca.pem", "cert.pem", "key.pem")
_question = ""


class Pool:
    """Processes of this machine, each with one thread. They start empty and read the question once."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._pool: ProcessPoolExecutor | None = None
        self._payload = ""

    def each(self, payload: str, tasks: Sequence[tuple[int, Any]], how: dict[str, Any]) -> Iterable[dict[str, Any]]:
        if self._pool is None or payload != self._payload:
            self.close()
            self._payload = payload
            with one_thread():
                self._pool = ProcessPoolExecutor(
                    self._count, mp_context=get_context("spawn"), initializer=_begin, initargs=(payload,)
                )
                # spawned while the threads are told: all of them now, not one by one
                list(self._pool.map(_ready, range(self._count)))
        return self._answers(tasks, how)

    def _answers(self, tasks: Sequence[tuple[int, Any]], how: dict[str, Any]) -> Iterator[dict[str, Any]]:
        assert self._pool is not None
        try:
            with one_thread():
                yield from self._pool.map(_one, [(space, places, how) for space, places in tasks])
        except BrokenProcessPool:
            raise NotReadable(
                "a process of the pool ended before its answer; was memory short? Ask with fewer --workers; what was "
                "done is kept in --state"
            ) from None

    def close(self) -> None:
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)
            self._pool = None


class Cluster:
    """A dask cluster by the address of its scheduler: this machine's, or any over mutual TLS."""

    def __init__(self, address: str, keys: Path | None = None) -> None:
        refuse_open(address, keys)
        try:
            from distributed import Client, Security
        except ImportError:
            raise NotReadable(
                "dask is not installed here: pip install -r requirements/cluster.lock, or leave --cluster out and use "
                "--workers"
            ) from None
        security = None
        if keys is not None:
            ca, cert, key = (str(keys / name) for name in KEYS)
            security = Security(tls_ca_file=ca, tls_client_cert=cert, tls_client_key=key, require_encryption=True)
        try:
            self._client = Client(address, security=security, timeout="10s", set_as_default=False)
        except (OSError, TimeoutError, ValueError) as error:
            raise NotReadable(f"no dask scheduler answers at {address}: {error}; start one, or name another") from None
        self._payload = ""
        self._sent: Any = None
        self._refuse_others(address)

    def _refuse_others(self, address: str) -> None:
        """Refuse a cluster without workers, and workers that have another program: they would answer otherwise."""
        try:
            found = set(self._client.run(version_here).values())
        except Exception as error:  # whatever a worker without this program raises comes over as it is
            self.close()
            raise NotReadable(f"a worker of {address} cannot run bedwright: {error}; install it there") from None
        if found != {version_here()}:
            self.close()
            there = ", ".join(sorted(found)) or "no worker at all"
            raise NotReadable(
                f"{address} has {there}, and this is bedwright {version_here()}; start workers of the same program"
            )

    def each(self, payload: str, tasks: Sequence[tuple[int, Any]], how: dict[str, Any]) -> Iterable[dict[str, Any]]:
        if payload != self._payload:
            self._payload, self._sent = payload, self._client.scatter(payload, broadcast=True, hash=False)
        futures = [
            self._client.submit(weigh, self._sent, space, list(places), how, pure=False) for space, places in tasks
        ]
        return (future.result() for future in futures)

    def close(self) -> None:
        self._client.close()


def version_here() -> str:
    """Version of the program where this runs."""
    return __version__


def refuse_open(address: str, keys: Path | None) -> None:
    """Refuse a cluster that is neither on this machine nor locked by mutual TLS. Raises FaultsFound."""
    if LOOPBACK.fullmatch(address):
        return
    if not SECURE.fullmatch(address):
        says = "is neither a cluster on this machine nor one over TLS"
        raise FaultsFound([Fault(says, HOW, value=address[:80], field="--cluster")])
    missing = [name for name in KEYS if keys is None or not (keys / name).is_file()]
    if missing:
        says = f"{address} is over TLS, and --cluster-keys has no {', '.join(missing)}"
        raise FaultsFound([Fault(says, f"name a folder with {', '.join(KEYS)}", field="--cluster-keys")])


@contextmanager
def one_thread() -> Iterator[None]:
    """Processes begun in here count with one thread each: several would only stand in each other's way."""
    before = {name: os.environ.get(name) for name in THREADS}
    os.environ.update(dict.fromkeys(THREADS, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value


def _begin(payload: str) -> None:
    global _question
    _question = payload
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the search, which ends after the builds in hand


def _ready(_number: int) -> bool:
    return bool(_question)


def _one(task: tuple[int, Any, dict[str, Any]]) -> dict[str, Any]:
    space, places, how = task
    return weigh(_question, space, tuple(places), how)
