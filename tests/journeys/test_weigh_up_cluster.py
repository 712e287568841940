"""A weigh-up on a dask cluster: the answer of this process; over TLS only with keys of its own. Needs dask."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from bedcli.weigh_up_workers import KEYS, Cluster
from bedwright.errors import NotReadable
from bedwright.weigh_up import brief_question, search
from bedwright.works.workbook.csv_folder import read_csv_folder

pytestmark = [pytest.mark.full, pytest.mark.tool]
distributed: Any = pytest.importorskip("distributed", reason="dask: pip install -r requirements/cluster.lock")
DEMO = Path(__file__).resolve().parents[2] / "demo"
SMALL = {"wire": ("W13", "W15"), "live turns": (3.5, 4.5)}


def local(**more: Any) -> Any:
    return distributed.LocalCluster(dashboard_address=None, host="127.0.0.1", threads_per_worker=1, **more)


def test_a_cluster_of_this_machine_answers_as_this_process() -> None:
    asking = brief_question(read_csv_folder(DEMO), "BRIEF-1", only=SMALL)
    with local(n_workers=2) as found:
        cluster = Cluster(found.scheduler_address)
        try:
            there = search(asking, 4, 3, workers=cluster, batch=2)
        finally:
            cluster.close()
    assert there.state.text() == search(asking, 4, 3, batch=2).state.text()


def test_a_cluster_without_workers_is_refused_in_a_sentence() -> None:
    with local(n_workers=0) as found, pytest.raises(NotReadable, match="no worker at all"):
        Cluster(found.scheduler_address)
    with pytest.raises(NotReadable, match="no dask scheduler answers"):
        Cluster("tcp://127.0.0.1:1")


def test_tls_goes_both_ways(tmp_path: Path) -> None:
    """A client with keys of the cluster's own authority is let in; one with keys of another is not."""
    ours, strangers = tmp_path / "ours", tmp_path / "strangers"
    for folder in (ours, strangers):
        folder.mkdir()
        keys_in(folder)
    ca, cert, key = (str(ours / name) for name in KEYS)
    security = distributed.Security(
        tls_ca_file=ca, require_encryption=True, tls_scheduler_cert=cert, tls_scheduler_key=key, tls_worker_cert=cert,
        tls_worker_key=key, tls_client_cert=cert, tls_client_key=key,
    )  # fmt: skip
    with local(n_workers=1, protocol="tls://", security=security) as found:
        assert found.scheduler_address.startswith("tls://")
        Cluster(found.scheduler_address, ours).close()
        with pytest.raises(NotReadable, match="no dask scheduler answers"):
            Cluster(found.scheduler_address, strangers)


def keys_in(folder: Path) -> None:
    """An authority and one certificate for this machine, for this test only."""
    try:
        openssl("req", "-x509", "-newkey", "rsa:2048", "-nodes", "-keyout", "ca.key", "-out", "ca.pem", "-days", "2",
                "-subj", "/CN=test", at=folder)  # fmt: skip
        openssl("req", "-newkey", "rsa:2048", "-nodes", "-keyout", "key.pem", "-out", "csr.pem", "-subj",
                "/CN=127.0.0.1", at=folder)  # fmt: skip
        (folder / "names").write_text("subjectAltName=IP:127.0.0.1,DNS:localhost\n")
        openssl("x509", "-req", "-in", "csr.pem", "-CA", "ca.pem", "-CAkey", "ca.key", "-CAcreateserial", "-out",
                "cert.pem", "-days", "2", "-extfile", "names", at=folder)  # fmt: skip
    except FileNotFoundError:
        pytest.skip("openssl is not here")


def openssl(*words: str, at: Path) -> Sequence[str]:
    done = subprocess.run(["openssl", *words], cwd=at, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return words
