import io
import os
import signal
import subprocess
import sys
import tempfile
import textwrap
import time
import zipfile
from pathlib import Path

import pytest

from colletfea.cases.browser import job as jobs
from colletfea.cases.browser import tasks
from colletfea.cases.browser.job import DONE, FAILED, STOPPED, Job
from colletfea.cases.casefile.case import Case
from helpers.push import coarsest


@pytest.fixture(autouse=True)
def place(tmp_path, monkeypatch):
    """Temporary folders are made here, and none may be left."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    yield tmp_path
    assert list(tmp_path.iterdir()) == []


def ended(job, within=60.0):
    limit = time.monotonic() + within
    while not job.poll():
        assert time.monotonic() < limit, "the job does not end"
        time.sleep(0.02)
    assert not job._process.is_alive()
    return job.outcome


def add(desk, a, b):
    (desk.folder / "scrap").write_text("x")
    Path(tempfile.mkdtemp()).joinpath("more").write_text("y")
    desk.tell(0.5, "half way")
    return a + b


def break_down(desk):
    raise ValueError("no\n  way")


def die(desk):
    os._exit(3)


def deaf(desk):
    desk.tell(0.1, "deaf")
    time.sleep(600)


def patient(desk):
    desk.tell(0.1, "waiting")
    while not desk.stop():
        time.sleep(0.01)
    return "kept"


def test_a_job_gives_its_value_and_leaves_no_file():
    job = Job(add, 2, 3)
    assert ended(job) == (DONE, 5) and (job.fraction, job.text) == (0.5, "half way")


@pytest.mark.parametrize(("task", "sentence"), [(break_down, "no way"), (die, "The process ended before it was done.")])
def test_what_goes_wrong_is_said(task, sentence):
    assert ended(Job(task)) == (FAILED, sentence)


def started(task):
    job = Job(task)
    while job.text == "starting":
        job.poll()
        time.sleep(0.02)
    return job


def test_a_stop_keeps_what_was_reached():
    job = started(patient)
    job.stop()
    assert ended(job) == (DONE, "kept")


def test_a_job_that_does_not_hear_is_ended(monkeypatch):
    monkeypatch.setattr(jobs, "PATIENCE", 0.2)
    job = started(deaf)
    job.stop()
    assert ended(job) == (STOPPED, None)


def test_an_end_is_at_once():
    job = started(deaf)
    job.end()
    assert job.outcome == (STOPPED, None) and not job._process.is_alive()


def test_a_job_ends_with_a_program_that_was_killed(place, tmp_path_factory):
    script = tmp_path_factory.mktemp("script") / "starter.py"
    script.write_text(textwrap.dedent("""
        import sys, time
        from pathlib import Path
        from colletfea.cases.browser.job import Job
        def deaf(desk):
            desk.tell(0.1, "deaf")
            time.sleep(600)
        if __name__ == "__main__":
            job = Job(deaf)
            while job.text == "starting":
                job.poll(); time.sleep(0.02)
            print(job._process.pid, flush=True)
            time.sleep(600)
    """))
    starter = subprocess.Popen([sys.executable, script], stdout=subprocess.PIPE, text=True, env={**os.environ, "TMPDIR": str(place)})
    pid = int(starter.stdout.readline())
    assert list(place.iterdir())
    starter.send_signal(signal.SIGKILL)
    starter.wait()
    limit = time.monotonic() + 20
    while alive(pid) or list(place.iterdir()):
        assert time.monotonic() < limit, "something is left"
        time.sleep(0.05)


def alive(pid):
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.slow
def test_simulation_report_and_parts_as_jobs():
    case = coarsest(Case.example("sprocket_hub"))
    kind, result = ended(Job(tasks.simulate, case, "quick"), 300)
    assert kind == DONE and result.exit_code == 0 and result.summary["level"] == "quick"
    kind, page = ended(Job(tasks.report, result), 120)
    assert kind == DONE and page.startswith(b"<!DOCTYPE html>")
    kind, pack = ended(Job(tasks.parts, case, result.summary), 120)
    files = zipfile.ZipFile(io.BytesIO(pack))
    assert kind == DONE and {"sleeve.step", "drawing.svg"} <= set(files.namelist())
    assert "N·m by a quick run" in files.read("drawing.svg").decode()
