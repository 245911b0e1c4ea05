"""What all figures share that can be touched: scenes go to the page, and come back as actions.

* A figure is a state, a picture of it (scenes and controls, plain data), and actions that change
  the state. The page moves parts, follows the pointer and plays steps on its own; Python is asked
  when something has to be computed.
* Pictures are numbered, and the page is told what is new since the one before. A page that lacks
  that one asks for the whole, and who comes in later begins with the whole.
* An action may give one picture after the other, a coarse one first. A newer question ends it.
* What takes long is computed by another thread, so that the kernel stays free: the action gives the
  `Future` of it, and goes on when that is done.
* The still picture is the output of the cell, and the live one takes its place in the page. So a
  workbook that is opened without Python shows the picture, with a line that says how to touch it.
* An action that fails says so in the figure: Jupyter would put the error into a log that nobody
  opens. With HOP_BY_HOP_STRICT=1 in the environment, as in tests, it is raised as well.
"""

__all__ = ["Action", "Button", "Choice", "Control", "Picture", "TouchFigure", "Work", "Written"]

import asyncio
import itertools
import json
import threading
import uuid
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Future, wait
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from course_lib.figures.drawing.scene import Scene
from course_lib.figures.drawing.svg import escape, style_sheet
from course_lib.widgets.touch.as_written import RefusedError
from course_lib.widgets.touch.strict_mode import raise_if_strict

_HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Button:
    """A button; `action` is told None."""

    action: str
    name: str
    kind: str = "button"


@dataclass(frozen=True, slots=True)
class Choice:
    """A list to choose from; `action` is told the text that was chosen."""

    action: str
    name: str
    options: tuple[str, ...]
    now: str
    kind: str = "choice"


@dataclass(frozen=True, slots=True)
class Written:
    """A field for a number or an address; `action` is told the text as it was typed."""

    action: str
    name: str
    now: str
    letters: int = 12
    is_refused: bool = False  # what was typed last can't be taken; the figure says why
    kind: str = "written"


Control = Button | Choice | Written


@dataclass(frozen=True, slots=True)
class Picture:
    """What a figure shows: scenes to step through, controls, and sentences that are read out.

    The last scene is the one that is shown first. `moves` says whether parts move to their new
    places: they do, unless the hand is already there, as when something is dragged. With `plays`
    the scenes are played at once, from the first one on, for who has not asked for less motion.
    """

    scenes: tuple[Scene, ...]
    words: tuple[str, ...] = ()
    controls: tuple[Control, ...] = ()
    moves: bool = True
    plays: bool = False


def _as_json(view: Mapping[str, Any], _: Any) -> str:
    """Return a view as one text: Jupyter would look for octets in each of its values."""
    return json.dumps(view)


@dataclass(frozen=True, slots=True)
class _Numbered:
    """A picture as it goes to the page, with all that belongs to its showing."""

    number: int
    picture: Picture
    answer: int = 0  # the number of the question that it answers
    unasked: int = 0
    problem: str = ""

    def news(self, before: "_Numbered | None" = None) -> dict[str, Any]:
        """Return as plain data what a page has to know that has the picture before; None: all."""
        base = before.picture.scenes[-1] if before else None
        controls = self.picture.controls
        as_before = before is not None and before.picture.controls == controls
        return {
            "number": self.number,
            "base": before and before.number,
            "answer": self.answer,
            "unasked": self.unasked,
            "steps": [
                scene.as_data(earlier)
                for earlier, scene in zip(
                    (base, *self.picture.scenes), self.picture.scenes, strict=False
                )
            ],
            "words": list(self.picture.words),
            "controls": None if as_before else [asdict(control) for control in controls],
            "moves": self.picture.moves,
            "plays": self.picture.plays,
            "problem": self.problem,
            "style": None if before else style_sheet(),
        }


Work = Future[Any]
Action = Callable[[Any], Picture | Iterator[Picture] | Iterator[Picture | Work]]


class TouchFigure(anywidget.AnyWidget):
    """A figure that can be touched. Show it as the last value of a cell."""

    _esm = _HERE / "touch_figure.js"
    _css = _HERE / "touch_figure.css"
    place = traitlets.Unicode().tag(sync=True)
    view = traitlets.Dict().tag(sync=True, to_json=_as_json)
    done = traitlets.Int(0).tag(sync=True)  # the newest question, once nothing more follows

    def __init__(self, picture: Picture, actions: Mapping[str, Action]) -> None:
        self._actions = dict(actions)
        self._asked = 0  # the number of the newest question
        self._unasked = self._seen = 0  # pictures that nobody asked for, and the last one seen
        self._latest = _Numbered(1, picture)
        self.lock = threading.RLock()  # held by who shows a picture: a thread may, as an action
        place = uuid.uuid4().hex  # by which the page also finds the figure's model
        super().__init__(model_id=place, place=place, view=self._latest.news())
        self.on_msg(self._told)

    @property
    def picture(self) -> Picture:
        """Return what the figure shows now."""
        return self._latest.picture

    def refresh(self, picture: Picture) -> None:
        """Show a picture that nobody has asked for; from any thread, but from one at a time."""
        with self.lock:
            self._unasked += 1
            self._show(picture, self._latest.answer, self._latest.problem)

    def get_state(self, key: Any = None, drop_defaults: bool = False) -> dict[str, Any]:
        """Return what a page is sent; one that asks for all of it has no picture before this."""
        state: dict[str, Any] = super().get_state(key, drop_defaults)
        if key is None:
            state["view"] = _as_json(self._latest.news(), self)
        return state

    @property
    def unseen(self) -> int:
        """How many of those pictures no page has said to have shown."""
        return self._unasked - self._seen

    def left(self) -> None:
        """Hear that the cell has another output now, or is gone; figures that go on override it."""

    def act(self, action: str, value: Any = None) -> None:
        """Do what the page does when something is touched, to the last picture that follows."""
        _wait_through(self._follow(action, value, self._asked + 1))

    def _told(self, _: Any, content: Mapping[str, Any], __: Any) -> None:
        """Answer a question of the page; between two pictures newer questions may come in."""
        if "seen" in content:
            self._seen = content["seen"]
            return
        if "left" in content:
            self.left()
            return
        if "whole" in content:
            self.send_state()
            return
        following = self._follow(content["action"], content["value"], content["number"])
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:  # no page, no loop: nothing can come in
            _wait_through(following)
        else:
            first = next(following, None)
            rest = self._one_by_one(itertools.chain((first,), following))
            self._rest = loop.create_task(rest)

    async def _one_by_one(self, following: Iterable[Work | None]) -> None:
        for work in following:
            await (asyncio.wait([asyncio.wrap_future(work)]) if work else asyncio.sleep(0))

    def _follow(self, action: str, value: Any, number: int) -> Iterator[Work | None]:
        """Show the pictures of an action, one a step, until there is a newer question.

        A step returns the work that has to be done before the next one, if there is any.
        """
        self._asked = number
        try:
            given = self._actions[action](value)
            if isinstance(given, Picture):
                with self.lock, self.hold_sync():  # nothing follows, and one message says all
                    self._show(given, number)
                    self.done = number
                given = iter(())
            for one in given:
                if isinstance(one, Picture):
                    self._show(one, number)
                    yield None
                else:
                    yield one
                if self._asked != number:
                    return
        except Exception as problem:  # whatever it is, the reader has to see it
            kind = "" if isinstance(problem, RefusedError) else f"{type(problem).__name__}: "
            self._show(self.picture, number, f"Nothing has changed. {kind}{problem}")
            if not isinstance(problem, RefusedError):
                raise_if_strict(problem)
        finally:
            if self._asked == number:
                self.done = number

    def _show(self, picture: Picture, answer: int, problem: str = "") -> None:
        with self.lock:
            before = self._latest
            self._latest = _Numbered(before.number + 1, picture, answer, self._unasked, problem)
            self.view = self._latest.news(before)

    def _repr_mimebundle_(self, **_: Any) -> tuple[dict[str, str], dict[str, str]]:
        """Return the still picture; in a page with Python behind it, the live one replaces it."""
        figure = self.picture.scenes[-1].figure()
        hint = "To touch this figure, run the cell."
        html = (
            f'<div class="hop-still" data-hop-figure="{self.place}">{figure.html()}'
            f"<p><small>{escape(hint)}</small></p></div>"
        )
        return {"text/html": html, "text/plain": f"{figure.text}\n{hint}"}, {}


def _wait_through(following: Iterable[Work | None]) -> None:
    """Go all steps, and wait in this thread for what each of them needs."""
    for work in following:
        if work is not None:
            wait([work])
