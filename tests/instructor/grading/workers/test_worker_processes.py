"""Worker processes: the same scores, nothing lost with one of them, and none left behind."""

import fcntl
import multiprocessing
import os
import pickle
import shutil
import signal
import subprocess
import sys
import termios
import uuid

import pytest

from classes.graded_by import graded_by, graded_by_threads
from classes.graded_class import (
    CLASS,
    RIGHT,
    SEED,
    UNTRIED,
    WRONG,
    copy_of,
    only_first,
    public_only,
    with_class,
)
from course_lib.exercises.verdict import Outcome
from hand_ins.hand_in_files import UNIT
from instructor.grading.examiner import Examiner
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.record.answer_data import answer_to_text
from instructor.grading.sandbox.sandbox import Sandbox
from instructor.grading.workers import bench as workers
from instructor.grading.workers.bench import TRIES, Terms, ToExamine
from instructor.grading.workers.local_crew import PLACES, LocalCrew
from machines.processes import children_of, until, wait_for_the_end_of

SIZE_OF_A_PIPE = 60_000  # octets: nearly what Linux lets wait in one, pipe(7)
MANY = {f"s{number:02}": only_first(RIGHT if number % 3 else WRONG) for number in range(12)}


@pytest.fixture(scope="module")
def course(bare_course, tmp_path_factory):
    return with_class(copy_of(bare_course, tmp_path_factory.mktemp("class")), {**CLASS, **MANY})


@pytest.fixture(scope="module")
def intake(course):
    return find_hand_ins(course / "submitted", (UNIT,))


def in_processes(intake, size, kinds=(), **more):
    with LocalCrew(size) as crew:
        crew.open(Terms(uuid.uuid4().hex, trusted=not kinds, kinds=kinds))
        return graded_by(crew, intake, SEED, cases=public_only, **more)


def whole(result):
    """Return every verdict of a class in full."""
    answers = [answer_to_text(one) for marked in result.marked for one in marked.answers]
    notes = [(one.student, one.notes, one.texts) for one in result.marked]
    return answers, notes, result.not_graded


@pytest.fixture(scope="module")
def in_threads(intake):
    return whole(graded_by_threads(intake, SEED, None, cases=public_only))


@pytest.mark.parametrize("size", [1, 3])
def test_processes_give_what_threads_give(intake, in_threads, size):
    assert whole(in_processes(intake, size)) == in_threads


def test_in_sandboxes_of_their_own_too(intake, in_threads, need):
    need("bwrap", "apt-get install bubblewrap")
    assert whole(in_processes(intake, 2, ("warm",))) == in_threads


def test_a_worker_gets_contents_and_reads_no_hand_in(course, in_threads, tmp_path):
    folder = shutil.copytree(course / "submitted", tmp_path / "submitted")
    intake = find_hand_ins(folder, (UNIT,))
    shutil.rmtree(folder)
    answers, notes, _ = whole(in_processes(intake, 1))
    assert (answers, notes) == in_threads[:2]


def test_what_is_sent_comes_as_it_was(intake):
    for hand_in in intake.hand_ins:
        work = ToExamine(hand_in, {})
        assert pickle.loads(pickle.dumps(work)) == work


def test_workers_have_a_few_hand_ins_at_a_time_and_not_the_class(intake):
    ahead, most = [], []

    def known(hand_in):
        ahead.append(hand_in)
        most.append(len(ahead))
        return {}

    in_processes(intake, 2, known=known, keep=lambda *_: ahead.pop())
    assert len(most) == len(intake.hand_ins)
    assert max(most) <= 2 * PLACES < len(intake.hand_ins) / 2


def test_what_is_known_is_not_run_and_comes_back_as_the_very_object(intake, monkeypatch, tmp_path):
    first = {one.student: one for one in in_processes(intake, 2).marked}
    known = {name: {one.verdict.exercise.id: one for one in marked.answers}
             for name, marked in first.items()}  # fmt: skip
    monkeypatch.setattr(Examiner, "_judge", lambda *_: (tmp_path / "ran").touch())
    second = in_processes(intake, 2, known=lambda hand_in: known[hand_in.student]).marked
    assert not (tmp_path / "ran").exists()
    assert [id(answer) for one in second for answer in one.answers] == [
        id(answer) for one in second for answer in first[one.student].answers
    ]


def test_a_worker_killed_amid_the_class_loses_nothing(intake, in_threads):
    """One: a second could meet the same hand-in, which is then a line for a person."""
    kept, killed = [], []

    def keep(hand_in, marked, prints):
        kept.append(marked.student)
        if len(kept) == 3:
            victim = multiprocessing.active_children()[0]
            os.kill(victim.pid, signal.SIGKILL)
            killed.append(victim)

    assert whole(in_processes(intake, 2, keep=keep)) == in_threads
    assert len(killed) == 1
    assert sorted(kept) == sorted(one.student for one in intake.hand_ins)


def waiting_in(pipe):
    """Return how many octets nobody has read yet."""
    return int.from_bytes(fcntl.ioctl(pipe, termios.FIONREAD, bytes(4)), sys.byteorder)


def test_a_worker_that_ends_amid_a_long_message_is_no_longer_waited_for():
    """Another worker, forked later, holds the pipe open, so the message finds no end by itself."""
    long = {UNIT: {"1.1": "x" * (10 << 20)}}
    with LocalCrew(2) as crew:
        crew.open(Terms("a run", True, ("none",)))
        first, second = crew.lanes()
        os.kill(first._number(), signal.SIGSTOP)
        assert second._number()
        first.take(long)
        until(lambda: waiting_in(first._unread) >= SIZE_OF_A_PIPE)
        crew.drop(first)
        assert crew.lanes()[0] is not first


def test_what_ends_every_worker_is_a_line_for_a_person_and_stops_nobody(
    intake, in_threads, monkeypatch, tmp_path
):
    real, tries = Examiner.examine, tmp_path / "tries"

    def ends_at_alder(self, one, known):
        if one.student == "alder":
            with tries.open("a") as stream:
                stream.write("x")
            os.kill(os.getpid(), signal.SIGKILL)
        return real(self, one, known)

    monkeypatch.setattr(Examiner, "examine", ends_at_alder)
    result = in_processes(intake, 2)
    (line,) = [one for one in result.not_graded if one.student == "alder"]
    assert "could not tell: the process that examined it ended" in line.why
    assert len(tries.read_text()) == TRIES
    assert [one.student for one in result.marked] == [
        one.student for one in intake.hand_ins if one.student != "alder"
    ]


def test_what_cannot_come_back_is_a_line_for_a_person(intake, monkeypatch):
    real = Examiner.examine
    monkeypatch.setattr(
        Examiner, "examine",
        lambda self, one, known: (lambda: 0) if one.student == "alder" else real(self, one, known),
    )  # fmt: skip
    result = in_processes(intake, 2)
    (line,) = [one for one in result.not_graded if one.student == "alder"]
    assert "could not tell: the grader failed" in line.why
    assert len(result.marked) == len(intake.hand_ins) - 1


def test_a_worker_whose_sandbox_is_gone_runs_nothing(intake, monkeypatch):
    none = Sandbox("none", None, "no sandbox starts here")
    monkeypatch.setattr(workers, "open_sandbox", lambda *_: workers.contextlib.nullcontext(none))
    result = in_processes(intake, 1, ("warm",))
    answers = [one for marked in result.marked for one in marked.answers if one.source]
    assert {one.verdict.outcome for one in answers} == {Outcome.COULD_NOT_TELL}
    assert {one.verdict.points for one in answers} == {None}
    assert all("no sandbox starts here" in one.verdict.note for one in answers)


def test_at_the_end_no_process_is_left(intake, need):
    need("bwrap", "apt-get install bubblewrap")
    seen = {}
    before = children_of(os.getpid())
    in_processes(intake, 2, ("warm",), keep=lambda *_: seen.update(children_of(os.getpid())))
    assert len(seen) > 2  # workers and their sandboxes
    wait_for_the_end_of({pid: seen[pid] for pid in seen.keys() - before.keys()})


@pytest.fixture
def busy(course, tmp_path, need):
    """Yield a real process that grades in sandboxes, in the midst of it, and all its processes."""
    need("bwrap", "apt-get install bubblewrap")
    mine = copy_of(course, tmp_path)
    command = [sys.executable, "-c", UNTRIED, "grade", str(mine), "--workers", "2"]
    running = subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True,
        start_new_session=True,
    )  # fmt: skip
    until(lambda: (mine / "autograded" / "alder").exists() or running.poll() is not None)
    assert running.poll() is None
    yield running, children_of(running.pid)
    running.kill()
    running.communicate(timeout=200)


@pytest.mark.parametrize("kind", [signal.SIGKILL, signal.SIGTERM, signal.SIGINT])
def test_however_we_are_ended_workers_and_sandboxes_go_too(busy, kind):
    running, processes = busy
    assert len(processes) > 2
    running.send_signal(kind)
    running.communicate()
    wait_for_the_end_of(processes)


def test_ctrl_c_reaches_all_processes_of_a_terminal_and_ends_them_quietly(busy):
    running, processes = busy
    os.killpg(running.pid, signal.SIGINT)
    _, said = running.communicate(timeout=200)
    assert running.returncode == 130
    assert "hand-ins are graded and safe" in said
    assert "Traceback" not in said
    wait_for_the_end_of(processes)


def test_a_cluster_s_library_is_loaded_only_with_the_option():
    asked = (
        "import sys; import instructor.class_run.grade_class; print('distributed' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
