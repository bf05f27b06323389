"""A real Dask scheduler with two workers on loopback: results, a worker killed, the scheduler gone, versions unlike."""

import os
import socket
import subprocess
import sys
import time
from contextlib import contextmanager
from functools import partial
from importlib.util import find_spec

import pytest

from colletfea.cases import cli
from colletfea.cases.study import sweep, workers
from colletfea.cases.casefile.case import Case
from helpers import study

pytestmark = pytest.mark.skipif(find_spec("distributed") is None, reason="Dask is not installed: pip install 'colletfea[cluster]' to test clusters")
HELPERS = os.path.dirname(os.path.dirname(study.__file__))


class Cluster:
    """A scheduler and its workers as processes of their own."""

    def __init__(self):
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.address = f"127.0.0.1:{free.getsockname()[1]}"
        host, port = self.address.split(":")
        self.scheduler = self._start("dask_scheduler", "--host", host, "--port", port, "--no-dashboard")
        self.workers = []

    def worker(self, path=HELPERS):
        command = ("dask_worker", f"tcp://{self.address}", "--nthreads", "1", "--no-nanny", "--no-dashboard")
        self.workers.append(self._start(*command, path=path))

    def _start(self, module, *words, path=HELPERS):
        command = [sys.executable, "-m", f"distributed.cli.{module}", *words]
        env = {**os.environ, "PYTHONPATH": str(path), "OPENBLAS_NUM_THREADS": "1"}
        # -m looks into the working folder first, and a checkout that was installed from keeps the program's metadata there
        return subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=env, cwd=path)

    def end(self):
        for process in (*self.workers, self.scheduler):
            process.kill()
            process.wait()


@contextmanager
def running(count):
    cluster = Cluster()
    try:
        for _ in range(count):
            cluster.worker()
        yield cluster
    finally:
        cluster.end()


def opened(cluster, patience=120):
    return partial(workers.cluster, cluster.address, patience)


def test_a_study_then_a_killed_worker_loses_no_task_and_a_lost_scheduler_is_said(tmp_path):
    """A study on a cluster gives the rows of one process; on the same cluster a worker is killed, and the scheduler at last."""
    case = Case.from_tables(study.TABLES, "x")
    axes = {"sleeve.nose_wall": [1.3, 1.4, 1.5]}
    here = sweep(case, axes, level="quick")
    with running(2) as cluster:
        there = sweep(case, axes, level="quick", scheduler=cluster.address, out=tmp_path / "s")
        assert study.without_seconds(there) == study.without_seconds(here) and all(r["exit_code"] == 0 for r in there)
        found = {}
        for task, result in workers.share(opened(cluster), study.nap, range(12)):
            found[task] = result
            if len(found) == 3:
                cluster.workers[0].kill()
        assert found == {k: k for k in range(12)}
        with pytest.raises(workers.Gone, match=f"The scheduler {cluster.address} "):
            for _ in workers.share(opened(cluster), study.nap, range(40)):
                cluster.scheduler.kill()


def test_nobody_to_work_unlike_versions_and_nobody_there_are_refused_in_time(tmp_path, capsys, monkeypatch):
    """A scheduler without a worker, then with one that finds another version of the program's own metadata first, then gone."""
    monkeypatch.setattr(workers, "PATIENCE", 2.0)
    info = tmp_path / "other" / "colletfea-99.0.dist-info"
    info.mkdir(parents=True)
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: colletfea\nVersion: 99.0\n")
    file = tmp_path / "case.toml"
    file.write_text(study.LINES)
    with running(0) as cluster:
        _wait_for(cluster.address)
        with pytest.raises(workers.Unreachable, match="has no worker within 1 s"), opened(cluster, 1)():
            pass
        cluster.worker(tmp_path / "other")
        with pytest.raises(workers.Unreachable, match=r"worker tcp\S+ has colletfea 99.0 and not \d"), opened(cluster)():
            pass
    clock = time.monotonic()
    command = ["sweep", str(file), "--vary", "sleeve.taper=3,4", "--out", str(tmp_path / "s"), "--scheduler", cluster.address]
    assert cli.main(command) == 2 and time.monotonic() - clock < 60
    said = capsys.readouterr()
    assert not said.out and f"--scheduler {cluster.address}: no Dask scheduler answers there within" in said.err.splitlines()[-1]
    assert not (tmp_path / "s").exists()


def _wait_for(address):
    host, port = address.split(":")
    end = time.monotonic() + 60
    while time.monotonic() < end:
        try:
            socket.create_connection((host, int(port)), 1).close()
            return
        except OSError:
            time.sleep(0.1)
