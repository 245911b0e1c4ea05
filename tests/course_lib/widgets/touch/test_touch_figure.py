"""A figure that can be touched answers, tells what goes wrong, and leaves a still picture."""

import asyncio
import re
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from course_lib.figures.drawing.scene import Part, Press, Scene, Slide
from course_lib.figures.drawing.svg import Words, label
from course_lib.widgets.touch.as_written import RefusedError
from course_lib.widgets.touch.strict_mode import CallbackFailed
from course_lib.widgets.touch.touch_figure import Button, Choice, Picture, TouchFigure, Written


def picture(words="a", count=1):
    scene = Scene(Words(words, f"text of {words}", f"spoken {words}"), (100, 50),
                  (Part("one", label(words, 10, 20)),))  # fmt: skip
    return Picture((scene,) * count, (words,))


def refuse(_):
    raise RefusedError("2.7 is not a whole number")


def fail(_):
    raise KeyError("no <b>such</b> field")


def shown(figure):
    return [scene["title"] for scene in figure.view["steps"]]


def sent(figure, action, value=None, number=1):
    """Do as the page does."""
    figure._handle_custom_msg({"action": action, "value": value, "number": number}, [])


def test_a_touch_is_answered_with_the_number_of_its_question():
    figure = TouchFigure(picture(), {"become": lambda value: picture(f"b{value}")})
    sent(figure, "become", 7, number=12)
    assert figure.view["answer"] == 12
    assert shown(figure) == ["b7"]
    assert figure.picture == picture("b7")


def test_several_pictures_of_one_action_come_one_after_the_other():
    seen = []
    figure = TouchFigure(picture(), {"go": lambda _: map(picture, "xyz")})
    figure.observe(lambda change: seen.append(shown(figure)), names="view")
    figure.act("go")
    assert seen == [["x"], ["y"], ["z"]]


def test_a_newer_question_overtakes_the_rest_of_an_older_one():
    seen = []

    def slowly(value):
        for step in range(50):
            yield picture(f"{value}{step}")

    figure = TouchFigure(picture(), {"go": slowly})
    figure.observe(lambda _: seen.append(shown(figure)[0]), names="view")

    async def two_questions():
        sent(figure, "go", "old", number=1)
        await asyncio.sleep(0)
        sent(figure, "go", "new", number=2)
        await figure._rest

    # In a thread of its own: in this one, a browser that other tests have open runs its own loop.
    with ThreadPoolExecutor() as another:
        another.submit(lambda: asyncio.run(two_questions())).result()
    assert seen[0] == "old0"
    assert seen[-50:] == [f"new{step}" for step in range(50)]
    assert len(seen) < 60


def test_work_of_another_thread_is_waited_for_while_the_loop_goes_on():
    """The work ends only when the loop lets it: a loop that stood still would wait for ever."""
    told = threading.Event()

    def asked(_):
        with ThreadPoolExecutor(1) as pool:
            work = pool.submit(told.wait)
            yield work
            yield picture(f"done {work.result()}")

    figure = TouchFigure(picture(), {"go": asked})

    async def question():
        sent(figure, "go")
        asyncio.get_running_loop().call_later(0, told.set)
        await figure._rest

    with ThreadPoolExecutor() as another:
        another.submit(lambda: asyncio.run(question())).result()
    assert shown(figure) == ["done True"]


def test_work_that_fails_is_told_like_any_other_failure(monkeypatch):
    monkeypatch.delenv("HOP_BY_HOP_STRICT")

    def asked(_):
        with ThreadPoolExecutor(1) as pool:
            work = pool.submit(fail, None)
            yield work
            yield picture(work.result())

    figure = TouchFigure(picture(), {"go": asked})
    figure.act("go")
    assert "KeyError" in figure.view["problem"]
    assert shown(figure) == ["a"]


def test_what_was_overtaken_is_not_gone_on_with():
    done = []

    def asked(value):
        for step in range(3):
            done.append(f"{value}{step}")
            yield picture(f"{value}{step}")

    figure = TouchFigure(picture(), {"go": asked})
    first = figure._follow("go", "old", 1)
    next(first)
    figure.act("go", "new")
    assert list(first) == []
    assert done == ["old0", "new0", "new1", "new2"]


def test_what_is_refused_is_said_and_leaves_all_as_it_was():
    figure = TouchFigure(picture(), {"write": refuse})
    sent(figure, "write", "2.7")
    assert figure.view["problem"] == "Nothing has changed. 2.7 is not a whole number"
    assert shown(figure) == ["a"]
    sent_again = TouchFigure(picture(), {"write": lambda _: picture("b")})
    sent(sent_again, "write", "2")
    assert sent_again.view["problem"] == ""


def test_an_action_that_fails_says_so_and_is_raised_in_strict_mode(monkeypatch):
    figure = TouchFigure(picture(), {"go": fail})
    with pytest.raises(CallbackFailed):
        figure.act("go")
    assert "KeyError" in figure.view["problem"]
    monkeypatch.delenv("HOP_BY_HOP_STRICT")
    figure.act("go")
    assert "no <b>such</b> field" in figure.view["problem"]
    assert figure.view["answer"] == 2


def test_the_output_is_a_still_picture_that_needs_no_kernel():
    figure = TouchFigure(picture(), {})
    data, _ = figure._repr_mimebundle_()
    assert set(data) == {"text/html", "text/plain"}
    assert f'data-hop-figure="{figure.place}"' in data["text/html"]
    assert picture().scenes[0].figure().svg in data["text/html"]
    assert "To touch this figure, run the cell." in data["text/html"]
    assert data["text/plain"].startswith("text of a")


def test_two_figures_of_one_page_have_places_of_their_own():
    assert TouchFigure(picture(), {}).place != TouchFigure(picture(), {}).place


def test_controls_go_to_the_page_as_plain_data():
    controls = (Button("go", "Go"), Choice("pick", "Pick", ("x", "y"), "x"), Written("w", "W", "7"))
    figure = TouchFigure(Picture(picture().scenes, controls=controls), {})
    assert figure.view["controls"] == [
        {"action": "go", "name": "Go", "kind": "button"},
        {"action": "pick", "name": "Pick", "options": ("x", "y"), "now": "x", "kind": "choice"},
        {
            "action": "w",
            "name": "W",
            "now": "7",
            "letters": 12,
            "is_refused": False,
            "kind": "written",
        },
    ]


@pytest.mark.parametrize("plays", [False, True])
def test_the_page_is_told_whether_to_play(plays):
    figure = TouchFigure(Picture(picture(count=3).scenes, plays=plays), {})
    assert figure.view["plays"] is plays


def test_the_page_knows_every_kind_of_touch_and_control():
    """What Python can say and what the page understands are written down in two languages."""
    source = TouchFigure._esm.read_text() if hasattr(TouchFigure._esm, "read_text") else str(
        TouchFigure._esm
    )  # fmt: skip
    for kind in ("button", "choice", "written", "slide", "press"):
        assert f'"{kind}"' in source
    for field in (*Slide.__slots__, *Press.__slots__):
        assert re.search(rf"\b{field}\b", source), field
