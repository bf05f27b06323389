"""Processes that share a case: how they begin, that they end, and that no task is lost with one."""

import os
import signal
import subprocess
import sys
import threading
import time
from concurrent.futures import ProcessPoolExecutor

import pytest

from colletfea.cases import workers

LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="threads and copies as on Linux")


def number(x=0):
    """The process that was asked, twice."""
    return os.getpid(), 2 * x


def slowly():
    time.sleep(0.2)
    return os.getpid()


def die(first):
    """Ends every process but the first."""
    if os.getpid() != first:
        os._exit(9)
    return "done here"


def imported(name):
    return name in sys.modules


def script(code):
    line = [sys.executable, "-c", code]
    return subprocess.run(line, env={**os.environ, "OPENBLAS_NUM_THREADS": "1"}, capture_output=True, text=True, check=False, timeout=60)


def test_one_process_needs_no_other():
    with workers.helpers(1) as executor:
        assert executor is None
        assert workers.begun(executor, number, 2)() == (os.getpid(), 4)
        assert list(workers.share(executor, number, [(1,), (2,)])) == [(0, (os.getpid(), 2)), (1, (os.getpid(), 4))]


def test_two_processes_share_tasks_and_leave_none_running():
    with workers.helpers(2) as executor:
        other, _ = workers.begun(executor, number)()
        found = dict(workers.share(executor, number, [(k,) for k in range(4)]))
    assert other != os.getpid() and found[0][0] == os.getpid()
    assert {pid for pid, _ in found.values()} <= {other, os.getpid()} and [found[k][1] for k in range(4)] == [0, 2, 4, 6]
    with pytest.raises(ProcessLookupError):
        os.kill(other, 0)


def test_what_a_process_keeps_for_itself_goes_to_no_other():
    """Each of its own takes long enough for the other one to begin the third."""
    with workers.helpers(2) as executor:
        other, _ = workers.begun(executor, number)()
        found = dict(workers.share(executor, slowly, [(), (), ()], 2))
    assert found == {0: os.getpid(), 1: os.getpid(), 2: other}


def test_a_task_whose_process_dies_is_done_here_and_so_is_what_comes_after():
    with workers.helpers(2) as executor:
        assert workers.begun(executor, die, os.getpid())() == "done here"
        assert workers.begun(executor, number, 1)() == (os.getpid(), 2)
        assert [r for _, r in workers.share(executor, number, [(1,), (2,)])] == [(os.getpid(), 2), (os.getpid(), 4)]


@LINUX
def test_a_process_of_one_thread_is_copied_with_what_it_has_imported_and_no_other_is_left():
    """Started from nothing, a process would not know this module's name; and its system keeps a process to look after names."""
    code = (
        "import sys; from multiprocessing import resource_tracker\n"
        "from colletfea.cases import workers\n"
        "sys.modules['of this process'] = sys\n"
        "def known(): return 'of this process' in sys.modules\n"
        "with workers.helpers(2) as executor: found = workers.begun(executor, known)()\n"
        "print(found, resource_tracker._resource_tracker._pid)"
    )
    done = script(code)
    assert done.stdout.split() == ["True", "None"], done.stderr


@LINUX
def test_processes_made_anew_know_what_was_imported_since():
    """And those before them are gone."""
    code = (
        "import os, sys\n"
        "from colletfea.cases import workers\n"
        "def known(): return 'since' in sys.modules, os.getpid()\n"
        "with workers.helpers(2) as executor:\n"
        "    before, old = workers.begun(executor, known)()\n"
        "    sys.modules['since'] = sys\n"
        "    with workers.loaded(executor, 2) as fresh: after, new = workers.begun(fresh, known)()\n"
        "    print(before, after, old != new, os.path.exists(f'/proc/{old}'))"
    )
    done = script(code)
    assert done.stdout.split() == ["False", "True", "True", "False"], done.stderr


@LINUX
def test_a_process_of_two_threads_is_not_copied():
    stop = threading.Event()
    other = threading.Thread(target=stop.wait)
    other.start()
    sys.modules["of this process"] = sys
    try:
        with workers.helpers(2) as executor:
            assert not workers.begun(executor, imported, "of this process")()
    finally:
        del sys.modules["of this process"]
        stop.set()
        other.join()


@LINUX
@pytest.mark.parametrize("threads", [0, 1])
def test_a_helper_ends_with_the_first_process_even_where_that_is_killed(threads):
    """A copy, and one that was started from nothing."""
    code = (
        "import os, time, threading; from colletfea.cases import workers\n"
        f"if __name__ == '__main__':\n    for _ in range({threads}): threading.Thread(target=time.sleep, args=(30,), daemon=True).start()\n"
        "    with workers.helpers(2) as executor:\n"
        "        print(executor.submit(os.getpid).result(), flush=True)\n"
        "        executor.submit(time.sleep, 30)\n"
        "        time.sleep(30)\n"
    )
    first = subprocess.Popen([sys.executable, "-c", code], env={**os.environ, "OPENBLAS_NUM_THREADS": "1"}, stdout=subprocess.PIPE, text=True)
    helper = int(first.stdout.readline())
    first.send_signal(signal.SIGKILL)
    first.wait()
    for _ in range(100):
        try:
            os.kill(helper, 0)
        except ProcessLookupError:
            break
        time.sleep(0.1)
    else:
        os.kill(helper, signal.SIGKILL)
        pytest.fail("the helper outlived its first process")
    first.stdout.close()


@LINUX
def test_signals_wait_while_processes_are_started(monkeypatch):
    """A copy that got one before it knew what to do with it would act as the first process does."""
    held, submit = [], ProcessPoolExecutor.submit

    def spied(executor, *given):
        held.append(signal.pthread_sigmask(signal.SIG_BLOCK, ()))
        return submit(executor, *given)

    monkeypatch.setattr(ProcessPoolExecutor, "submit", spied)
    with workers.helpers(2):
        assert held[0] >= {signal.SIGINT, signal.SIGTERM}
        assert not {signal.SIGINT, signal.SIGTERM} & signal.pthread_sigmask(signal.SIG_BLOCK, ())


@LINUX
@pytest.mark.parametrize("sent", [signal.SIGINT, signal.SIGTERM])
def test_an_interrupt_of_the_whole_group_leaves_nothing_running_and_says_nothing(sent):
    code = (
        "import os, time, signal; from colletfea.cases import interrupts, workers\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "try:\n"
        "    with interrupts.terminable(), workers.helpers(2) as executor:\n"
        "        executor.submit(time.sleep, 30)\n"
        "        print(os.getpid(), flush=True)\n"
        "        time.sleep(30)\n"
        "except KeyboardInterrupt:\n    print('interrupted')\n"
    )
    first = subprocess.Popen(
        [sys.executable, "-c", code], env={**os.environ, "OPENBLAS_NUM_THREADS": "1"}, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        text=True, start_new_session=True,
    )
    first.stdout.readline()
    os.killpg(first.pid, sent)
    out, err = first.communicate(timeout=20)
    assert (first.returncode, out, err) == (0, "interrupted\n", "")
    with pytest.raises(ProcessLookupError):
        os.killpg(first.pid, 0)
