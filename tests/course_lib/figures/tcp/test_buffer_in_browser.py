"""In a real browser no words of the shared line leave the picture or cover each other."""

import functools

import pytest

from course_lib.ferry.shared_line import (
    PACKET_S,
    POLICIES,
    Sharing,
    measure_sharing,
    run_sharing,
)
from course_lib.figures.tcp.buffer_curves import Curve
from course_lib.figures.tcp.buffer_scene import BufferView, buffer_scenes
from course_lib.figures.tcp.saw_teeth import teeth_of
from course_lib.figures.tcp.slow_second import slow_second
from pages.words_in_figures import misplaced

GHOSTS = (Sharing(64, 30, POLICIES[2]), Sharing(64, 15, POLICIES[1]), Sharing(64, 30))
SETTINGS = [
    (Sharing(25, 30), 50), (Sharing(25, 0), 0), (Sharing(1, 30), 300), (Sharing(64, 30), 250),
    (Sharing(64, 30, POLICIES[1]), 300), (Sharing(9, 30, POLICIES[2]), 120), (Sharing(2, 5), 20),
]  # fmt: skip
FACES = [("DejaVu Sans", 100), ("Liberation Sans", 100)]


def measured(sharing, size):
    run = run_sharing(sharing, size, to_s=3, from_s=1.5, watched=25, sample_s=PACKET_S)
    return run, measure_sharing(size, [run])


@functools.cache
def drawings():
    ghosts = tuple(
        Curve(one, tuple(measured(one, size)[1] for size in (10, 75, 100, 150, 300)))
        for one in GHOSTS
    )
    views = [BufferView(Sharing(64, 30), 97), BufferView(Sharing(25, 30), 97, guess=300)]
    found = [buffer_scenes(view)[0].figure().svg for view in views]
    for guess, (sharing, size) in zip((0, 40, 120, 200, 260, 299, 300), SETTINGS, strict=True):
        run, shown = measured(sharing, size)
        view = BufferView(
            sharing, 97, guess=guess, shown=shown, curve=(measured(sharing, 300)[1],),
            ghosts=ghosts, teeth=teeth_of(run), answer=300 - guess,
        )  # fmt: skip
        found.append(buffer_scenes(view, slow_second(run)[-1:])[0].figure().svg)
    return found


@pytest.mark.parametrize(("sans", "percent"), FACES)
def test_no_words_leave_the_picture_or_cover_others(page, sans, percent):
    assert misplaced(page, drawings(), sans, "DejaVu Sans Mono", percent) == []
