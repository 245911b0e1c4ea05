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
from machines.cluster_on_loopback import OLDER, UNSOUND, WITHOUT_COURSE, cluster
from machines.processes import children_of, wait_for_the_end_of

pytest.importorskip("distributed")
pytestmark = [
    pytest.mark.usefixtures("walls_tried_once"),
    pytest.mark.xdist_group("cluster"),  # one scheduler is enough
]

SLOW = "import time\ntime.sleep(0.1)\n"
MANY = {f"s{number:02}": only_first(SLOW + (RIGHT if number % 3 else WRONG))
        for number in range(9)}  # fmt: skip
MISFITS = {
    UNSOUND: "the sandbox does not hold here (the network)",
    OLDER: "it has another version of this course: 0123456789ab on Python 3.11, not",
    WITHOUT_COURSE: "it cannot run this course (ModuleNotFoundError",
}
HAND_INS = {**CLASS, **MANY}
READ = len(HAND_INS) - 1  # one is an empty file


@pytest.fixture(scope="module")
def ready(bare_course, tmp_path_factory):
    return with_class(copy_of(bare_course, tmp_path_factory.mktemp("ready")), HAND_INS)


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
def running():
    """Start one scheduler; each test says how many workers it has then."""
    with cluster() as started:
        yield started


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


def test_over_a_cluster_all_is_as_if_graded_here(running, course, undisturbed, monkeypatch, capsys):
    """Its sandboxes are closed at the end, and the workers stay."""
    workers, seen = running.only(3).workers, {}
    at_hand_in(monkeypatch, 6, lambda: [seen.update(children_of(one.pid)) for one in workers])
    assert main(["grade", str(course), "--cluster", running.address]) == 0
    assert seen
    wait_for_the_end_of(seen)
    assert [one.poll() for one in workers] == [None] * 3
    said = out(capsys)
    assert "3 workers on 1 machines." in said
    assert "Processor time in the sandbox:" in said
    assert outcome(course) == outcome(undisturbed)


def test_a_worker_killed_amid_the_class_loses_nothing_and_nothing_is_done_twice(
    running, course, undisturbed, monkeypatch
):
    killed = running.only(3).workers[1]
    kept = at_hand_in(monkeypatch, 4, killed.kill)
    assert main(["grade", str(course), "--cluster", running.address]) == 0
    assert killed.wait(timeout=200) == -signal.SIGKILL
    assert len(kept) == len(set(kept)) == READ
    assert len(steps(course)) == len(set(steps(course))) == READ * 6
    assert outcome(course) == outcome(undisturbed)


def test_when_all_workers_end_those_that_come_later_go_on(
    running, course, undisturbed, monkeypatch
):
    workers = running.only(2).workers

    def others():
        for one in list(workers):
            one.kill()
        running.add()

    at_hand_in(monkeypatch, 4, others)
    assert main(["grade", str(course), "--cluster", running.address]) == 0
    assert outcome(course) == outcome(undisturbed)


def test_when_no_worker_comes_back_it_stops_and_says_so(running, course, monkeypatch, capsys):
    monkeypatch.setattr(cluster_crew, "NOBODY_S", 2.0)
    at_hand_in(monkeypatch, 3, running.only(1).workers[0].kill)
    assert main(["grade", str(course), "--cluster", running.address]) == 1
    assert "has had no worker for 2 s" in capsys.readouterr().err


def test_without_a_scheduler_or_workers_it_is_said_what_to_do(running, course, monkeypatch, capsys):
    monkeypatch.setattr(cluster_crew, "CONNECT_S", 2.0)
    with socket.create_server(("127.0.0.1", 0)) as unused:
        port = unused.getsockname()[1]
    assert main(["grade", str(course), "--cluster", f"tcp://127.0.0.1:{port}"]) == 1
    said = " ".join(capsys.readouterr().err.split())
    assert f"no scheduler answers at tcp://127.0.0.1:{port}" in said
    running.only(0)
    assert main(["grade", str(course), "--cluster", running.address]) == 1
    said = " ".join(capsys.readouterr().err.split())
    assert "answers, but it has no workers" in said
    assert f"dask worker --nworkers auto --nthreads 1 {running.address}" in said
    assert not (course / "results").exists()


def test_when_the_scheduler_ends_it_is_said_and_taken_up_here(
    course, undisturbed, monkeypatch, capsys
):
    with cluster(1) as ending, monkeypatch.context() as patch:
        at_hand_in(patch, 4, ending.scheduler.kill)
        assert main(["grade", str(course), "--cluster", ending.address]) == 1
    said = " ".join(capsys.readouterr().err.split())
    assert f"The scheduler at {ending.address} is gone." in said
    assert f"of {len(HAND_INS)} hand-ins" not in said
    assert f"of {READ} hand-ins are graded and safe" in said
    assert "Traceback" not in said
    kept = at_hand_in(monkeypatch, 0, None)
    assert main(["grade", str(course), "--trusted"]) == 0
    assert len(kept) == READ
    assert len(steps(course)) == len(set(steps(course)))
    assert outcome(course) == outcome(undisturbed)


def test_each_worker_tries_its_own_sandbox_and_who_does_not_fit_gets_nothing(
    course, undisturbed, capsys
):
    """The fit one has two threads, and tries every wall; an unsound one works only as trusted."""
    here = socket.gethostname()
    with cluster() as mixed:
        for preload in MISFITS:
            mixed.add(preload)
        mixed.has(len(MISFITS))
        assert main(["grade", str(course), "--cluster", mixed.address]) == 1
        said = capsys.readouterr()
        for why in MISFITS.values():
            assert f"is not used: {why}" in " ".join(said.out.split())
        assert f"on {here} is not used: {MISFITS[UNSOUND]}" in " ".join(said.out.split())
        assert "answers, but none of its workers can be used" in " ".join(said.err.split())
        assert not (course / "results").exists()

        mixed.add("", threads=2)
        mixed.has(len(MISFITS) + 1)
        assert main(["grade", str(course), "--cluster", mixed.address]) == 0
        said = out(capsys)
        assert "1 workers on 1 machines." in said
        assert f"On {here}:" in said
        assert "Tried and out of reach: the network, files of this machine" in said
        assert "NOT enforced" not in said
        assert outcome(course) == outcome(undisturbed)

        assert main(["grade", str(course), "--cluster", mixed.address, "--trusted"]) == 0
        said = out(capsys)
        assert "2 workers on 1 machines." in said
        assert "Answers run as the worker, as trusted." in said
