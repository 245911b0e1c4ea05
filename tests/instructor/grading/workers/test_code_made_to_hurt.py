"""Code that takes gigabytes or minutes to read stops nobody, and never meets the one who writes."""

import ast
import builtins
import functools
import os
import resource
import subprocess
import symtable

import pytest

from classes.graded_class import RIGHT, copy_of, grade_command, only_first, with_class
from course_lib.cli import main
from hand_ins.hand_in_files import with_cell_after
from instructor.grading.workers import bench, limits
from instructor.grading.workers.limits import limited_memory, limited_processor_time

pytestmark = pytest.mark.usefixtures("walls_tried_once")

# A sum of long texts: the compiler works out each partial sum, and keeps all of them.
PIECE = '"a" *' + " 4096"  # in two, or this very page would be taken for such code
SUM = " + ".join([PIECE] * 2900)
GIGABYTES = f"def read_word(data, offset):\n    return 1\n\nMINE = {SUM}\n"
# Each cell of these fits into memory; all of them together take long.
LONG = [f"M{number} = " + " + ".join([PIECE] * 1200) for number in range(5)]


def slow():
    """Return a workbook of which each cell takes about a second to compile."""
    workbook = only_first(RIGHT)
    for source in LONG:
        workbook = with_cell_after(workbook, "answer-1-1", source)
    return workbook


def of_strangers(text):
    return PIECE in str(text)


@pytest.fixture
def no_code_here(monkeypatch):
    """Let nothing in this very process parse the hostile code; workers are forked from it."""
    own = os.getpid()

    def refusing(real):
        @functools.wraps(real)
        def call(text, *given, **named):
            assert os.getpid() != own or not of_strangers(text), "the coordinator read it"
            return real(text, *given, **named)

        return call

    for module, name in ((ast, "parse"), (symtable, "symtable"), (builtins, "compile")):
        monkeypatch.setattr(module, name, refusing(getattr(module, name)))


def graded(course, capsys):
    assert main(["grade", str(course), "--trusted", "--workers", "1"]) == 0
    return " ".join(capsys.readouterr().out.split())


def rows(course, student):
    text = (course / "results" / "scores.csv").read_text()
    return [line for line in text.splitlines() if line.startswith(f"{student},")]


def test_code_that_takes_gigabytes_is_read_by_a_worker_with_limits(bare_course, tmp_path):
    """In a fresh process: a worker may take what the process that it is forked from has free."""
    class_ = {"alder": only_first(RIGHT), "bracken": only_first(GIGABYTES)}
    course = with_class(copy_of(bare_course, tmp_path), class_)
    subprocess.run(grade_command(course, "--workers", "1"), check=True, capture_output=True)
    assert "right" in rows(course, "alder")[0]
    first = rows(course, "bracken")[0]
    assert ",error," in first
    assert "memory" in first


def test_code_that_takes_long_ends_the_worker_and_is_a_line(
    bare_course, tmp_path, capsys, no_code_here, monkeypatch
):
    monkeypatch.setattr(
        bench, "limited_processor_time", functools.partial(limited_processor_time, 1.5)
    )
    class_ = {"alder": only_first(RIGHT), "bracken": slow()}
    course = with_class(copy_of(bare_course, tmp_path), class_)
    said = graded(course, capsys)
    assert "right" in rows(course, "alder")[0]
    assert "the process that examined it ended, in 2 tries (to read the code it may use" in said
    (line,) = rows(course, "bracken")
    assert ",yes," in line


def test_limits_of_memory_hold_within_the_block_alone():
    before = resource.getrlimit(resource.RLIMIT_AS)
    with limited_memory(64 << 20), pytest.raises(MemoryError):
        bytearray(128 << 20)
    assert resource.getrlimit(resource.RLIMIT_AS) == before
    assert len(bytearray(128 << 20)) == 128 << 20


def test_a_process_that_works_too_long_is_ended_even_amid_one_call():
    """What it does is one call into C, during which Python looks at nothing."""
    pid = os.fork()
    if pid == 0:
        with limits.limited_processor_time(0.2):
            sum(range(10**12))
        os._exit(0)
    _, status = os.waitpid(pid, 0)
    assert os.WIFSIGNALED(status)
