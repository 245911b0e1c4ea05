"""A member of the room: keeps the line to the room, and does what comes over it.

It runs in a thread of its own, so the notebook stays free. The line may break and come back: the
network at the pier, and its links to the neighbours, go on all the while. It ends when the room
says so, when the time that the room gave is over, or with `close`.
"""

__all__ = ["Member", "Standing"]

import asyncio
import contextlib
import threading
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any, NamedTuple

from course_lib.joining import messages as said
from course_lib.joining.piers.running_pier import RunningPier
from course_lib.joining.room_talk import LostRoomError, RoomTalk, WrongCodeError
from course_lib.joining.shared_progress import SharedProgress

RETRY_S = 1.0
REPORT_EVERY_S = 1.0


class Standing(NamedTuple):
    """How it stands with a member.

    words: a sentence. placed: the pier, None before there is one. report: the latest, None before.
    lines: what the room said last of each line, by its number.
    """

    words: str
    placed: said.Placed | None = None
    report: said.Report | None = None
    is_on_line: bool = False
    is_over: bool = False
    lines: tuple[said.LineTold, ...] = ()


class Member:
    """One member. `begin` starts it, `first` is done when the room has answered."""

    def __init__(
        self, at: str, secret: bytes, student: str, pier: RunningPier,
        progress: SharedProgress | None = None,
    ) -> None:  # fmt: skip
        self.standing = Standing(f"on the way to the room at {at}")
        self.first: Future[said.Placed] = Future()
        self._at, self._secret, self._student, self._pier = at, secret, student, pier
        self._progress = progress
        self._ports = dict[int, int]()
        self._lines = dict[int, said.LineTold]()
        self._loop = asyncio.new_event_loop()
        self._over = asyncio.Event()
        self._to_say: asyncio.Queue[Any] = asyncio.Queue()
        self._hands = ThreadPoolExecutor(1, "pier")  # what may take long, one after the other
        self._thread = threading.Thread(target=self._turn, name="room", daemon=True)

    def begin(self) -> None:
        """Start it."""
        self._thread.start()

    def close(self) -> None:
        """Leave the room, and end the network at the pier."""
        if self._thread.is_alive():
            with contextlib.suppress(RuntimeError):  # the loop has ended by itself meanwhile
                self._loop.call_soon_threadsafe(self._end, "you have left the room")
            self._thread.join()

    def tell(self, message: Any) -> None:
        """Have something told to the room; from any thread. Nobody hears it while off the line."""
        with contextlib.suppress(RuntimeError):
            self._loop.call_soon_threadsafe(self._to_say.put_nowait, message)

    # --- in the thread

    def _turn(self) -> None:
        try:
            self._loop.run_until_complete(self._run())
        finally:
            self._pier.close()
            self._hands.shutdown()
            self._loop.close()

    async def _run(self) -> None:
        over = asyncio.ensure_future(self._over.wait())
        while not self._over.is_set():
            talk = asyncio.ensure_future(self._talk())
            await asyncio.wait({talk, over}, return_when=asyncio.FIRST_COMPLETED)
            if not talk.done():
                talk.cancel()
            try:
                await talk
            except asyncio.CancelledError:
                continue
            except LostRoomError as problem:
                self._lost(problem)
            except Exception as problem:  # whatever it was: said, and not left half done
                self._end(f"this pier has ended: {problem}")
                if not self.first.done():
                    self.first.set_exception(problem)
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(asyncio.shield(over), RETRY_S)
        over.cancel()

    def _lost(self, problem: LostRoomError) -> None:
        self._say_how(words=f"{problem}; your links go on", is_on_line=False)
        if not self.first.done():  # whoever types waits for an answer
            self._end(str(problem))
            self.first.set_exception(problem)
        elif isinstance(problem, WrongCodeError):
            self._end(str(problem))

    def _end(self, words: str) -> None:
        if not self._over.is_set():
            self._say_how(words=words, is_on_line=False, is_over=True)
            self._over.set()

    def _say_how(self, **what: Any) -> None:
        self.standing = self.standing._replace(**what)

    async def _talk(self) -> None:
        """Talk with the room until one of both ends it."""
        talk = await RoomTalk.connect(self._at, self._secret)
        tasks = list[asyncio.Task[None]]()
        try:
            await talk.say(said.Join(self._student, self._pier.where))
            tasks += [asyncio.ensure_future(self._hear(talk))]
            tasks += [asyncio.ensure_future(self._say(talk))]
            done, _ = await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
            for task in done:
                task.result()
        except asyncio.CancelledError:
            with contextlib.suppress(LostRoomError):
                await talk.say(said.Leave())
            raise
        finally:
            talk.close()  # first: what follows may be cancelled once more
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)

    async def _hear(self, talk: RoomTalk) -> None:
        while not self._over.is_set():
            message = await talk.hear()
            match message:
                case said.Placed():
                    await self._take_place(talk, message)
                case said.Lines():
                    self._lines |= {line.number: line for line in message.lines}
                    self._say_how(lines=tuple(self._lines.values()))
                    for line in message.lines:
                        await self._by_hand(self._pier.set_line, line)
                case said.Refused() | said.TakenOver() | said.Ended():
                    if not self.first.done():
                        self.first.set_exception(LostRoomError(message.why))
                    self._end(message.why)
                case _:
                    await self._by_hand(self._pier.do, message)

    async def _take_place(self, talk: RoomTalk, placed: said.Placed) -> None:
        before = self.standing.placed
        if before is not None and before.pier != placed.pier:
            self._end("another has your pier since you were away; join the room again")
            return
        if before is None:
            self._ports = dict(await self._by_hand(self._pier.open, placed, self.tell))
            self._loop.call_later(placed.ends_in_s, self._end, "the room's time is over")
        await talk.say(said.Ports(tuple(sorted(self._ports.items()))))
        if self._progress is not None:
            self._progress.forget()
        words = f"you are at {placed.pier}"
        self._say_how(words=words, placed=placed, is_on_line=True)
        if not self.first.done():
            self.first.set_result(placed)

    async def _say(self, talk: RoomTalk) -> None:
        """Say what comes up, and once a second how it is."""
        while not self._to_say.empty():
            self._to_say.get_nowait()  # what came up while nobody was on the line
        due_s = self._loop.time() + REPORT_EVERY_S
        while True:
            try:
                wait_s = max(0.0, due_s - self._loop.time())
                await talk.say(await asyncio.wait_for(self._to_say.get(), wait_s))
            except TimeoutError:
                due_s = self._loop.time() + REPORT_EVERY_S
                if self.standing.placed is not None and self.standing.is_on_line:
                    report = await self._by_hand(self._pier.report)
                    self._say_how(report=report)
                    await talk.say(report)
                    if self._progress and (news := await self._by_hand(self._progress.news)):
                        await talk.say(news)

    async def _by_hand(self, call: Any, *arguments: Any) -> Any:
        return await self._loop.run_in_executor(self._hands, call, *arguments)
