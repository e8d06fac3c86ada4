"""A cluster finds what this process finds, though one of its workers is killed half-way."""

from __future__ import annotations

import os
import signal
import threading

import pytest

from advisor.catalogue.audit import audit_catalogue
from advisor.catalogue.catalogue import open_catalogue
from advisor.catalogue.cluster import NoCluster
from advisor.catalogue.store import Store
from advisor.telling.audit.files import FORMS, write_audit
from tests.catalogue.conftest import TODAY
from tests.catalogue.test_store import more_packages

pytestmark = pytest.mark.filterwarnings("default")  # those of the library are not ours to mend


def test_a_cluster_writes_the_same_bytes_though_a_worker_is_killed(small, tmp_path):
    distributed = pytest.importorskip("distributed")
    more_packages(small, 16)
    texts = []
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0", protocol="tcp://"
        ) as cluster,
        distributed.Client(cluster, set_as_default=False) as client,
    ):
        for address in (None, cluster.scheduler_address):
            killed = threading.Event()

            def progress(done: int, whole: int, killed: threading.Event = killed, there: str | None = address) -> None:
                if there and done >= whole // 3 and not killed.is_set():
                    killed.set()
                    first = next(iter(client.run(os.getpid).values()))
                    os.kill(first, signal.SIGKILL)

            with Store(None) as store:
                catalogue = open_catalogue(small, "small")
                audit = audit_catalogue(catalogue, TODAY, store, progress=progress, cluster=address)
                assert killed.is_set() is (address is not None)
                assert audit.judged == len(audit.entries) == 4 * 17
                folder = tmp_path / ("cluster" if address else "alone")
                folder.mkdir()
                paths = write_audit(audit, [folder / f"audit{ending}" for ending in FORMS])
                texts.append([path.read_bytes() for path in paths])
    assert texts[0] == texts[1]


def test_where_no_scheduler_answers_it_is_said(small, monkeypatch):
    distributed = pytest.importorskip("distributed")

    def nobody(*_: object, **__: object) -> None:
        raise OSError("timed out")

    monkeypatch.setattr(distributed, "Client", nobody)
    with Store(None) as store, pytest.raises(NoCluster, match=r"no scheduler answers at tcp://127\.0\.0\.1:1"):
        audit_catalogue(open_catalogue(small, "small"), TODAY, store, cluster="tcp://127.0.0.1:1")
