"""Processes of this machine as workers: results, deaths, one thread each."""

import os
import subprocess
import sys
import time
from functools import partial

import pytest

from colletfea.cases.study import workers
from helpers import study

TWO = partial(workers.local, 2)


@pytest.mark.parametrize("opened", [workers.here, TWO])
def test_every_task_ends_once_with_its_result_or_what_it_raised(opened):
    found = dict(workers.share(opened, study.square, range(-1, 20)))
    assert isinstance(found.pop(-1), ValueError) and found == {k: k * k for k in range(20)}


def test_tasks_are_asked_for_as_there_is_room_and_not_before():
    asked = []
    tasks = (asked.append(k) or k for k in range(100))
    for count, _ in enumerate(workers.share(TWO, study.square, tasks), 1):
        assert len(asked) <= count + 4
    assert len(asked) == 100


def test_a_task_whose_process_is_killed_once_is_done_again(tmp_path):
    found = list(workers.share(TWO, study.dies_once, [str(tmp_path / "mark")]))
    assert [result for _, result in found] == ["survived"]


def test_a_task_that_takes_its_process_with_it_is_given_up_and_no_other():
    found = dict(workers.share(TWO, study.dies_at, range(12)))
    assert "died" in str(found.pop(3)) and found == {k: k for k in range(12) if k != 3}


def test_a_process_has_one_thread_of_linear_algebra_and_this_one_keeps_its_own(monkeypatch):
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", "7")
    assert dict(workers.share(TWO, study.threads, [0])) == {0: "1"} and os.environ["OPENBLAS_NUM_THREADS"] == "7"


def test_processes_end_when_the_first_one_is_killed(tmp_path):
    """Killed outright, it can tell nobody: they watch it themselves."""
    code = (
        "import multiprocessing, sys, time\nfrom colletfea.cases.study import workers\nfrom helpers import study\n"
        "if __name__ == '__main__':\n"
        "    with workers.local(2) as pool:\n"
        "        list(pool.executor.map(study.nap, range(4)))\n"
        "        print(*(p.pid for p in multiprocessing.active_children()), flush=True)\n"
        "        time.sleep(60)\n"
    )
    script = tmp_path / "parent.py"
    script.write_text(code)
    here = os.path.dirname(os.path.dirname(study.__file__))
    parent = subprocess.Popen([sys.executable, str(script)], stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": here})
    pids = [int(word) for word in parent.stdout.readline().split()]
    parent.kill()
    parent.wait()
    parent.stdout.close()
    end = time.monotonic() + 20
    while any(map(_runs, pids)) and time.monotonic() < end:
        time.sleep(0.05)
    assert len(pids) == 2 and not any(map(_runs, pids))


def _runs(pid):
    """Whether a process is there and not only waiting to be buried."""
    try:
        with open(f"/proc/{pid}/stat", encoding="ascii") as stream:
            return stream.read().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.parametrize("address", ["", "here", "tcp://here", "here:port", "http//x:1"])
def test_what_is_no_address_is_refused(address):
    with pytest.raises(workers.Unreachable, match="must be HOST:PORT"), workers.cluster(address):
        pass


def test_where_dask_is_not_installed_it_is_said_how_to(monkeypatch):
    for name in ("dask", "distributed"):
        monkeypatch.setitem(sys.modules, name, None)
    with pytest.raises(workers.Unreachable, match=r"pip install 'colletfea\[cluster\]'"), workers.cluster("127.0.0.1:1"):
        pass
