"""Pipes are read as they come, their ends are told once, and nobody is waited for in vain."""

import os
import select

import pytest

from course_lib.runner.pipes import CHUNK, MOST_CHUNKS, PolledPipes, ThreadedPipes, watched

PATIENCE_S = 200


@pytest.fixture(params=[PolledPipes, ThreadedPipes])
def two(request):
    """Two watched pipes, and the ends to write to."""
    pairs = [os.pipe() for _ in range(2)]
    pipes = request.param([os.fdopen(reader, "rb") for reader, _ in pairs])
    writers = [os.fdopen(writer, "wb", buffering=0) for _, writer in pairs]
    yield pipes, writers
    for writer in writers:
        writer.close()
    pipes.close()


def everything(pipes, ends):
    """Read until so many pipes have told their end; return what came, by pipe."""
    come, told = {0: b"", 1: b""}, []
    while len(told) < ends:
        for place, chunk in pipes.wait(PATIENCE_S):
            come[place] += chunk
            told += [place] if not chunk else []
    return come, told


def test_all_that_is_written_comes_in_order_and_each_end_once(two):
    pipes, writers = two
    for number in range(200):
        writers[number % 2].write(b"%d " % number)
    for writer in writers:
        writer.close()
    come, told = everything(pipes, 2)
    assert come[0].split() == [b"%d" % number for number in range(0, 200, 2)]
    assert come[1].split() == [b"%d" % number for number in range(1, 200, 2)]
    assert sorted(told) == [0, 1]
    assert pipes.wait(0.01) == []


def test_nothing_comes_of_pipes_into_which_nobody_writes(two):
    pipes, _ = two
    assert pipes.wait(0.01) == []


def test_a_pipe_that_was_left_is_not_read_any_more(two):
    pipes, writers = two
    pipes.leave(0)
    writers[0].write(b"too late")
    writers[1].write(b"in time")
    assert pipes.wait(PATIENCE_S) == [(1, b"in time")]
    assert pipes.wait(0.01) == []


def test_what_is_left_at_the_end_is_read_and_a_pipe_that_is_held_is_let_go(two):
    pipes, writers = two
    writers[0].write(b"the last words")
    assert pipes.rest(0) == b"the last words"
    assert pipes.rest(0) is None  # the other end is open still
    writers[0].close()
    ends = [pipes.rest(0)]
    assert ends == [b""]


def test_pipes_are_closed_though_somebody_floods_them_and_holds_the_other_end():
    reader, writer = os.pipe()
    pipes = ThreadedPipes([os.fdopen(reader, "rb")])
    flood = os.fdopen(writer, "wb", buffering=0)
    for _ in range(MOST_CHUNKS):
        flood.write(bytes(CHUNK // 2))
    assert pipes.wait(PATIENCE_S)
    pipes.close()
    flood.close()
    pipes._threads[0].join()  # ends, or the test never does


@pytest.mark.parametrize(("has_poll", "kind"), [(True, PolledPipes), (False, ThreadedPipes)])
def test_the_way_is_the_one_that_the_system_has(monkeypatch, has_poll, kind):
    if not has_poll:
        monkeypatch.delattr(select, "poll")
    reader, writer = os.pipe()
    pipes = watched([os.fdopen(reader, "rb")])
    os.close(writer)
    assert isinstance(pipes, kind)
    assert pipes.wait(PATIENCE_S) == [(0, b"")]
    pipes.close()
