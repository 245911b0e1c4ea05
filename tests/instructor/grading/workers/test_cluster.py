"""Grading over a cluster: real processes, some of which end in the middle of it."""

import csv
import signal
import socket

import pytest

from classes.gradebook_dump import outcome
from classes.graded_class import CLASS, RIGHT, WRONG, copy_of, only_first, with_class
from course_lib.cli import main
from instructor.class_run.resumable import ResumableRun
from instructor.grading.workers import cluster_crew
from machines.cluster_on_loopback import OLDER, UNSOUND, UNTRIED, WITHOUT_COURSE, cluster
from machines.processes import children_of, wait_for_the_end_of

pytest.importorskip("distributed")
pytestmark = pytest.mark.usefixtures("walls_tried_once")

SLOW = "import time\ntime.sleep(0.1)\n"
MANY = {f"s{number:02}": only_first(SLOW + (RIGHT if number % 3 else WRONG))
        for number in range(23)}  # fmt: skip
CLASS_OF_30 = {**CLASS, **MANY}


@pytest.fixture(scope="module")
def ready(bare_course, tmp_path_factory):
    return with_class(copy_of(bare_course, tmp_path_factory.mktemp("ready")), CLASS_OF_30)


@pytest.fixture(scope="module")
def undisturbed(walls_tried_once, ready, tmp_path_factory):
    course = copy_of(ready, tmp_path_factory.mktemp("here"))
    assert main(["grade", str(course), "--trusted"]) == 0
    return course


@pytest.fixture
def course(ready, tmp_path, need):
    need("bwrap", "apt-get install bubblewrap")
    return copy_of(ready, tmp_path)


@pytest.fixture(scope="module")
def three():
    with cluster(3) as running:
        yield running


def at_hand_in(monkeypatch, number, event):
    """Let something happen right after so many hand-ins are kept; return whom `keep` was given."""
    kept, keep = [], ResumableRun.keep

    def counted(self, hand_in, marked, prints):
        keep(self, hand_in, marked, prints)
        kept.append(hand_in.student)
        if len(kept) == number:
            event()

    monkeypatch.setattr(ResumableRun, "keep", counted)
    return kept


def out(capsys):
    """Return what was printed, as if on one line."""
    return " ".join(capsys.readouterr().out.split())


def steps(course):
    with (course / "results" / "history.csv").open(newline="") as stream:
        return [(row["student"], row["exercise"]) for row in csv.DictReader(stream)]


def test_over_a_cluster_all_is_as_if_graded_here(three, course, undisturbed, capsys):
    assert main(["grade", str(course), "--cluster", three.address]) == 0
    said = out(capsys)
    assert "3 workers on 1 machines." in said
    assert "Processor time in the sandbox:" in said
    assert outcome(course) == outcome(undisturbed)


def test_sandboxes_are_closed_at_the_end_and_workers_stay(three, course, monkeypatch):
    seen = {}
    at_hand_in(monkeypatch, 9, lambda: [seen.update(children_of(one.pid)) for one in three.workers])
    assert main(["grade", str(course), "--cluster", three.address]) == 0
    assert seen
    wait_for_the_end_of(seen)
    assert [one.poll() for one in three.workers] == [None] * 3


def test_a_worker_killed_amid_the_class_loses_nothing_and_nothing_is_done_twice(
    course, undisturbed, monkeypatch
):
    with cluster(3) as running:
        kept = at_hand_in(monkeypatch, 8, running.workers[1].kill)
        assert main(["grade", str(course), "--cluster", running.address]) == 0
        assert running.workers[1].wait(timeout=200) == -signal.SIGKILL
    assert len(kept) == len(set(kept)) == 29  # of 30, one is an empty file
    assert len(steps(course)) == len(set(steps(course))) == 29 * 6
    assert outcome(course) == outcome(undisturbed)


def test_when_all_workers_end_those_that_come_later_go_on(course, undisturbed, monkeypatch):
    with cluster(2) as running:

        def others():
            for one in list(running.workers):
                one.kill()
            running.add()

        at_hand_in(monkeypatch, 8, others)
        assert main(["grade", str(course), "--cluster", running.address]) == 0
    assert outcome(course) == outcome(undisturbed)


def test_when_the_scheduler_ends_it_is_said_and_taken_up_here(
    course, undisturbed, monkeypatch, capsys
):
    with cluster(2) as running, monkeypatch.context() as patch:
        at_hand_in(patch, 8, running.scheduler.kill)
        assert main(["grade", str(course), "--cluster", running.address]) == 1
    said = " ".join(capsys.readouterr().err.split())
    assert f"The scheduler at {running.address} is gone." in said
    assert "of 30 hand-ins" not in said
    assert "of 29 hand-ins are graded and safe" in said
    assert "Traceback" not in said
    kept = at_hand_in(monkeypatch, 0, None)
    assert main(["grade", str(course), "--trusted"]) == 0
    assert len(kept) == 29
    assert len(steps(course)) == len(set(steps(course)))
    assert outcome(course) == outcome(undisturbed)


def test_when_no_worker_comes_back_it_stops_and_says_so(course, monkeypatch, capsys):
    monkeypatch.setattr(cluster_crew, "NOBODY_S", 2.0)
    with cluster(1) as running:
        at_hand_in(monkeypatch, 3, running.workers[0].kill)
        assert main(["grade", str(course), "--cluster", running.address]) == 1
    assert "has had no worker for 2 s" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("preload", "why"),
    [
        (UNSOUND, "the sandbox does not hold here (the network)"),
        (OLDER, "it has another version of this course: 0123456789ab on Python 3.11, not"),
        (WITHOUT_COURSE, "it cannot run this course (ModuleNotFoundError"),
    ],
    ids=["unsound", "another version", "no course"],
)
def test_a_worker_that_does_not_fit_is_named_and_gets_nothing(
    course, undisturbed, capsys, preload, why
):
    with cluster(1, preload=preload) as running:
        assert main(["grade", str(course), "--cluster", running.address]) == 1
        assert why in out(capsys)
        running.add(UNTRIED)
        running.has(2)
        assert main(["grade", str(course), "--cluster", running.address]) == 0
    assert "1 workers on 1 machines." in out(capsys)
    assert outcome(course) == outcome(undisturbed)


def test_an_unsound_machine_is_named_and_works_only_as_trusted(course, capsys):
    with cluster(1, preload=UNSOUND) as running:
        assert main(["grade", str(course), "--cluster", running.address]) == 1
        said = capsys.readouterr()
        assert f"on {socket.gethostname()} is not used" in " ".join(said.out.split())
        assert "answers, but none of its workers can be used" in " ".join(said.err.split())
        assert main(["grade", str(course), "--cluster", running.address, "--trusted"]) == 0
    said = out(capsys)
    assert f"On {socket.gethostname()}:" in said
    assert "Answers run as the worker, as trusted." in said


def test_a_worker_tries_the_walls_of_its_own_sandbox(course, undisturbed, capsys):
    with cluster(1, preload="", threads=2) as running:
        assert main(["grade", str(course), "--cluster", running.address]) == 0
    said = out(capsys)
    assert f"On {socket.gethostname()}:" in said
    assert "Tried and out of reach: the network, files of this machine" in said
    assert "NOT enforced" not in said
    assert outcome(course) == outcome(undisturbed)


def test_without_a_scheduler_or_workers_it_is_said_what_to_do(course, monkeypatch, capsys):
    monkeypatch.setattr(cluster_crew, "CONNECT_S", 2.0)
    with socket.create_server(("127.0.0.1", 0)) as unused:
        port = unused.getsockname()[1]
    assert main(["grade", str(course), "--cluster", f"tcp://127.0.0.1:{port}"]) == 1
    said = " ".join(capsys.readouterr().err.split())
    assert f"no scheduler answers at tcp://127.0.0.1:{port}" in said
    with cluster() as running:
        assert main(["grade", str(course), "--cluster", running.address]) == 1
    said = " ".join(capsys.readouterr().err.split())
    assert "answers, but it has no workers" in said
    assert f"dask worker --nworkers auto --nthreads 1 {running.address}" in said
    assert not (course / "results").exists()
