"""Grade everything that a class handed in: several at a time, one line for each file.

Workers only compute. One process, this one, writes: each hand-in is in the gradebook
and on its page before the next one is touched. Workers get hand-ins a few at a time,
so that what is under way does not grow with the class.

A worker may end in the middle of its work. What it had is then examined by one that has
nothing else: if that one ends too, it is known which hand-in it was. One at which `TRIES`
workers ended is a line for a person, and never a zero.
"""

__all__ = ["grade_batch"]

import time
from collections import Counter, defaultdict, deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, CancelledError, Future, wait
from dataclasses import replace
from typing import NamedTuple

from course_lib.exercises.registry import exercise
from instructor.grading.examiner import Cases
from instructor.grading.intake.hand_ins import HandIn, Intake, NotGraded
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.grading.similarity.code_prints import CodePrints
from instructor.grading.workers.bench import (
    TRIES,
    Examined,
    NoBenchError,
    ToExamine,
    nobody_can_tell,
)
from instructor.grading.workers.crew import Crew, WorkerLane, has_result
from instructor.grading.workers.limits import MEMORY_OCTETS, PROCESSOR_S

LOOK_S = 1.0  # between two looks at who is there
MAY_USE = (
    f" (to read the code it may use {PROCESSOR_S:g} s of processor time and"
    f" {MEMORY_OCTETS >> 30} GiB of memory)"
)
LOST = (BrokenExecutor, CancelledError, NoBenchError)
Known = Callable[[HandIn], Mapping[str, MarkedAnswer]]
Result = MarkedHandIn | NotGraded
Ready = tuple[HandIn, Result, CodePrints]
FoundBefore = Callable[[HandIn], tuple[MarkedHandIn, CodePrints] | None]


def grade_batch(
    intake: Intake,
    crew: Crew,
    *,
    cases: Callable[[str], Cases],
    known: Known,
    keep: Callable[[HandIn, MarkedHandIn, CodePrints], None],
    progress: Callable[[int, int], None],
    found_before: FoundBefore = lambda _: None,
) -> BatchResult:
    """Have all hand-ins marked; call `keep` with each as soon as it is, never two at a time.

    With each come the fingerprints of its code, since nobody here parses it. The `crew`
    examines them. `cases` gives a unit's cases, and `known` the answers of a hand-in that
    need not be run again, by the exercise's id; `found_before` gives the whole result of one that
    no worker need see. `progress` is told how many are done, and of how many.

    The result does not depend on who works or on which hand-in is ready first.
    A hand-in at which the grader itself fails becomes a line for a person.
    """
    units = sorted({one.unit for one in intake.hand_ins})
    marked: list[MarkedHandIn] = []
    failed: list[NotGraded] = []
    crew.begin({unit: cases(unit) for unit in units})
    for hand_in, result, prints in _results(crew, known, intake.hand_ins, found_before):
        if isinstance(result, MarkedHandIn):
            keep(hand_in, result, prints)
            marked.append(result)
        else:
            failed.append(result)
        progress(len(marked) + len(failed), len(intake.hand_ins))
    return BatchResult(
        tuple(sorted(marked, key=lambda one: (one.unit, one.student))),
        (*intake.not_graded, *sorted(failed, key=lambda one: str(one.path))),
    )


def _results(
    crew: Crew, known: Known, hand_ins: Sequence[HandIn], found_before: FoundBefore
) -> Iterator[Ready]:
    """Yield each hand-in and what became of it: while workers are busy, those they need not see."""
    before = {place: found for place, one in enumerate(hand_ins) if (found := found_before(one))}
    under_way = _UnderWay(
        crew, known, [one for place, one in enumerate(hand_ins) if place not in before]
    )
    under_way.begin()
    for place, (marked, prints) in before.items():
        yield from under_way.ready()  # a grader who waits for one does not wait for all others
        yield hand_ins[place], marked, prints
    yield from under_way.examined()


class _Sent(NamedTuple):
    """What a worker has; `alone` if it must have nothing else."""

    lane: WorkerLane
    work: ToExamine
    alone: bool


class _UnderWay:
    """What waits, who has what, and which hand-ins must be examined alone."""

    def __init__(self, crew: Crew, known: Known, hand_ins: Sequence[HandIn]) -> None:
        self._crew = crew
        self._known = known
        self._waiting = deque(hand_ins)
        self._alone: deque[HandIn] = deque()
        self._sent: dict[Future[Examined], _Sent] = {}
        self._failures: Counter[str] = Counter()  # by the path of a hand-in

    def begin(self) -> None:
        """Send the first hand-ins, and wait for nobody."""
        if self._waiting:
            self._fill_all()

    def ready(self) -> Iterator[Ready]:
        """Yield what is ready at this moment, and send more."""
        if done := [one for one in self._sent if one.done()]:
            for future in done:
                yield from self._taken(future)
            self._fill_all()

    def examined(self) -> Iterator[Ready]:
        """Yield each hand-in and what became of it as it is ready."""
        while self._waiting or self._alone or self._sent:
            there = self._crew.lanes()
            for lane in {one.lane for one in self._sent.values()}.difference(there):
                yield from self._given_up(lane)
            self._fill_all()
            if not self._sent:
                time.sleep(LOOK_S)  # nobody is there at the moment
                continue
            done, _ = wait(self._sent, LOOK_S, FIRST_COMPLETED)
            for future in done:
                yield from self._taken(future)

    def _by_lane(self) -> Mapping[WorkerLane, Sequence[_Sent]]:
        has: defaultdict[WorkerLane, list[_Sent]] = defaultdict(list)
        for one in self._sent.values():
            has[one.lane].append(one)
        return has

    def _fill_all(self) -> None:
        has = self._by_lane()
        for lane in self._crew.lanes():
            self._fill(lane, has[lane])

    def _fill(self, lane: WorkerLane, has: Sequence[_Sent]) -> None:
        """Send a worker what it has places for; what must be alone waits until it has nothing."""
        if self._alone and not has:
            self._send(lane, self._alone, alone=True)
        if self._alone or any(one.alone for one in has):
            return
        for _ in range(min(lane.places - len(has), len(self._waiting))):
            self._send(lane, self._waiting)

    def _send(self, lane: WorkerLane, queue: deque[HandIn], *, alone: bool = False) -> None:
        work = ToExamine(queue[0], self._known(queue[0]))
        try:
            self._sent[lane.send(work)] = _Sent(lane, work, alone)
        except LOST:
            self._crew.drop(lane)
        else:
            queue.popleft()

    def _taken(self, future: Future[Examined]) -> Iterator[Ready]:
        if (sent := self._sent.get(future)) is None:
            return  # given up together with its worker
        try:
            examined = future.result()
        except LOST:
            yield from self._given_up(sent.lane)
            return
        except Exception as problem:  # on the way: what came was not what was sent
            del self._sent[future]
            yield from self._failed(
                sent, f"the grader failed ({type(problem).__name__}: {problem})"
            )
            return
        del self._sent[future]
        self._crew.used.note(examined)
        yield sent.work.hand_in, _as_ours(examined.result, sent.work), examined.prints

    def _given_up(self, lane: WorkerLane) -> Iterator[Ready]:
        """Take back what a worker had that is gone; the oldest was on the bench when it ended."""
        self._crew.drop(lane)
        lost = [future for future, one in self._sent.items()
                if one.lane is lane and not has_result(future)]  # fmt: skip
        for future in lost:
            future.cancel()
        sent = [self._sent.pop(future) for future in lost]
        self._alone.extend(one.work.hand_in for one in sent[1:])
        for one in sent[:1]:
            yield from self._failed(one, "the process that examined it ended")

    def _failed(self, sent: _Sent, why: str) -> Iterator[Ready]:
        hand_in = sent.work.hand_in
        self._failures[str(hand_in.path)] += 1
        if self._failures[str(hand_in.path)] < TRIES:
            self._alone.append(hand_in)
        else:
            line = nobody_can_tell(hand_in, f"{why}, in {TRIES} tries{MAY_USE}")
            yield hand_in, line, CodePrints()


def _as_ours(result: Result, work: ToExamine) -> Result:
    """Return a result that came from elsewhere with our own objects in it, where they are equal.

    What is known is then the very object, and a large class holds each text once.
    """
    if isinstance(result, NotGraded):
        return result
    sources = {cell.source: cell.source for cell in work.hand_in.notebook.cells}
    answers = []
    for answer in result.answers:
        item = exercise(answer.verdict.exercise.id)
        ours = replace(
            answer, source=sources.get(answer.source, answer.source),
            verdict=replace(answer.verdict, exercise=item),
        )  # fmt: skip
        answers.append(work.known.get(item.id, ours))
    return replace(result, answers=tuple(answers))
