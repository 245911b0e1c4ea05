"""The picture of a line that flows share: the thing itself, what its buffer buys, and why.

On top senders, tank and pipe; below the tank use and wait on the same axis of packets; beside them
the windows of the flows, and their sum. The same run is behind all of it.
"""

__all__ = ["BufferView", "buffer_scenes"]

from collections.abc import Sequence

from course_lib.figures.drawing.flags import flags
from course_lib.figures.drawing.scene import Part, Press, Scene, Slide, Touch
from course_lib.figures.drawing.svg import box, group, label
from course_lib.figures.tcp.buffer_curves import USE_FOOT, Curve, buffer_curves, theory_parts
from course_lib.figures.tcp.buffer_words import BufferView, BufferWords
from course_lib.figures.tcp.packet_axis import LARGEST, LEFT, RIGHT, at
from course_lib.figures.tcp.pipe_and_tank import pipe_and_tank
from course_lib.figures.tcp.saw_teeth import saw_teeth, time_mark
from course_lib.figures.tcp.slow_second import Moment

_SIZE = (860.0, 474.0)
_STEP = (744.0, 145.0, 100.0, 20.0)  # the key "in step": left, top, width, height


def buffer_scenes(view: BufferView, moments: Sequence[Moment] = ()) -> tuple[Scene, ...]:
    """Return a scene for each moment; without any, one in which nothing is under way."""
    words, still = BufferWords(view), _around(view)

    def scene(moment: Moment | None) -> Scene:
        told = words.at(moment)
        title = Part("title", label(told.title, 20, 20, "ink strong", 16, room=824))
        thing = pipe_and_tank(view.sharing, view.buffer_packets, moment)
        now = time_mark(view.teeth, moment) if view.teeth and moment else []
        return Scene(told, _SIZE, (title, *thing, *now, *still), _touches(view))

    return tuple(map(scene, moments or (None,)))


def _around(view: BufferView) -> list[Part]:
    """Return what is the same at every moment."""
    answered = view.shown is not None
    parts = theory_parts(view.sharing.flows if answered else None)
    if answered:
        curve = Curve(view.sharing, view.curve)
        parts += buffer_curves(curve, view.ghosts, view.shown, is_coarse=view.is_coarse)
    if view.teeth is not None:
        parts += saw_teeth(view.teeth)
        if view.sharing.flows > 1:
            parts.append(Part("in step", _step_key(is_on=view.sharing.in_step)))
    guess = view.guess
    parts += flags(
        USE_FOOT,
        (LEFT, RIGHT + 60),
        guess=None if guess is None else (at(guess), f"your guess: {guess}"),
        answer=None if view.answer is None else (
            at(view.answer), f"{view.goal_percent} % from {view.answer}"
        ),
    )  # fmt: skip
    return parts


def _step_key(*, is_on: bool) -> str:
    x, y, width, height = _STEP
    look, ink = ("calm", "on-mark strong") if is_on else ("box", "ink strong")
    words = "✓ in step" if is_on else "put in step"
    return group(
        "all flows with one round trip and one start",
        box(look, x, y, width, height, 4),
        label(words, x + width / 2, y + 14.5, ink, 12.5, "middle"),
    )


def _touches(view: BufferView) -> tuple[Touch, ...]:
    size = view.buffer_packets
    asked = view.shown is None
    wall = Slide(
        "wall", "Your guess: wall of the buffer" if asked else "Wall of the buffer",
        "guess" if asked else "buffer", at(0), at(LARGEST), 0, LARGEST,
        150 if size is None else size, "no guess yet" if size is None else f"{size} packets",
    )  # fmt: skip
    if view.teeth is None or view.sharing.flows == 1:
        return (wall,)
    step = view.sharing.in_step
    return (wall, Press("in step", "All flows in step", "step", "apart" if step else "step", step))
