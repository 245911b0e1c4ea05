"""A page is sent what is new since the picture before, and shows what a whole picture would show.

The page's side runs in a real browser without JupyterLab, on a model that the tests feed with what
Python would send.
"""

import base64
import json
import random
from pathlib import Path

import pytest

from course_lib.figures.drawing.scene import Part, Press, Scene, Slide
from course_lib.figures.drawing.svg import Words, box, group, label
from course_lib.widgets.touch import touch_figure
from course_lib.widgets.touch.touch_figure import Button, Choice, Picture, TouchFigure, Written
from pages.live_figures import make, touch_at_random

MODULE = Path(touch_figure.__file__).with_suffix(".js")
WITHOUT_LAB = Path(make.__code__.co_filename).with_name("touched_without_lab.js")
KEYS = (
    "one",
    "two",
    "three",
    "constructor",
    "7",
    "a b",
)  # two of them have a meaning in JavaScript
SEQUENCES, MOVES = 40, 6
LOAD = """async address => { window.hopFigure = (await import(address)).default; }"""


@pytest.fixture(scope="module")
def page(browser):
    page = browser.new_page(reduced_motion="reduce")
    page.set_content("<!doctype html><body></body>")
    code = base64.b64encode(MODULE.read_bytes()).decode()
    page.evaluate(LOAD, f"data:text/javascript;base64,{code}")
    page.add_script_tag(path=WITHOUT_LAB)
    yield page
    page.close()


def any_scene(rng):
    def part(key):
        x, y = rng.randrange(3), rng.randrange(3)
        shapes = [
            box("paper", x, y, 10, 10), label("word" * x, x, y), group("a tip", label("in", x, y)),
            "",
        ]  # fmt: skip
        return Part(key, rng.choice(shapes) + rng.choice(shapes))

    def touch(key):
        if rng.random() < 0.5:
            return Press(
                key, f"press {key}", rng.choice("fg"), key, rng.choice([None, True, False])
            )
        now = rng.randrange(4)
        return Slide(key, f"slide {key}", rng.choice("fg"), 0, 90, 0, 3, now, f"at {now}")

    keys = rng.sample(KEYS, rng.randrange(len(KEYS) + 1))
    touched = rng.sample(keys, rng.randrange(len(keys) + 1))
    words = Words(*(rng.choice(("this", "that")) for _ in range(3)))
    return Scene(words, (100, 50), tuple(map(part, keys)), tuple(map(touch, touched)))


def any_picture(rng):
    controls = [
        Button("go", "Go"),
        Choice("pick", "Pick", ("x", "y"), rng.choice("xy")),
        Written("write", "Write", rng.choice("12"), is_refused=rng.random() < 0.5),
    ]
    scenes = tuple(any_scene(rng) for _ in range(rng.randint(1, 3)))
    chosen = tuple(rng.sample(controls, rng.randrange(len(controls) + 1)))
    return Picture(scenes, (rng.choice("vw"),), chosen, rng.random() < 0.5)


def any_figure(rng):
    """Return a figure of random pictures; also one with very little new from one to the next."""
    few = [any_picture(rng) for _ in range(2)]
    return TouchFigure(
        any_picture(rng),
        {"change": lambda _: rng.choice([*few, any_picture(rng)]), "fail": lambda _: 1 / 0},
    )


def messages(figure, touch, moves):
    """Return what a page gets at first, and then at each move: the news, and all there is."""
    first, sent = figure.get_state(), []
    for _ in range(moves):
        touch()
        sent.append([figure.get_state({"view", "done"}), figure.get_state()])
    return [first, sent]


def random_messages(seed):
    rng = random.Random(seed)
    figure = any_figure(rng)
    return messages(figure, lambda: figure.act("change"), MOVES)


# After each move, the page that was told the news shows what one shows that begins with the whole.
SAME = """sequences => sequences.flatMap(([first, sent], which) => {
  const page = new HopPage(first), wrong = [];
  sent.forEach(([news, whole], move) => {
    page.model.update(news);
    const fresh = new HopPage(whole);
    const [ours, theirs] = [page.seen(), fresh.seen()].map(one => JSON.stringify(one));
    if (ours !== theirs) wrong.push([which, move, ours, theirs]);
    fresh.close();
  });
  if (page.model.sent.length) wrong.push([which, 'asked', page.model.sent]);
  page.close();
  return wrong;
})"""


def test_what_is_new_leads_to_what_the_whole_shows(page):
    assert page.evaluate(SAME, [random_messages(seed) for seed in range(SEQUENCES)]) == []


@pytest.mark.parametrize("name", ["header", "errors", "trie"])
def test_what_is_new_leads_to_what_the_whole_shows_in_real_figures(page, name, monkeypatch):
    monkeypatch.delenv("HOP_BY_HOP_STRICT")
    figure, rng = make(name), random.Random(3)
    sent = messages(figure, lambda: touch_at_random(figure, rng), 12)
    assert page.evaluate(SAME, [sent]) == []


# Of each sequence one message is lost. Then nothing moves until the whole has come, asked for once.
LOST = """([sequences, lost]) => sequences.flatMap(([first, sent], which) => {
  const page = new HopPage(first), wrong = [];
  const look = () => JSON.stringify(page.seen());
  sent.slice(0, lost).forEach(([news]) => page.model.update(news));
  const before = look();
  sent.slice(lost + 1).forEach(([news]) => page.model.update(news));
  if (look() !== before) wrong.push([which, 'moved']);
  if (JSON.stringify(page.model.sent) !== '[{"whole":true}]') wrong.push([which, page.model.sent]);
  const whole = sent.at(-1)[1], fresh = new HopPage(whole);
  page.model.update(whole);
  if (look() !== JSON.stringify(fresh.seen())) wrong.push([which, 'is another one']);
  page.close(), fresh.close();
  return wrong;
})"""


@pytest.mark.parametrize("lost", [0, 3])
def test_news_without_what_they_are_new_to_are_not_shown_and_the_whole_is_asked_for(page, lost):
    assert page.evaluate(LOST, [[random_messages(seed) for seed in range(8)], lost]) == []


# A page that gets the widget in the midst, with news as its first state; then a second look at it.
LATER = """async ([first, sent]) => {
  const [[news, whole], [newer, all]] = sent.slice(-2);
  const page = new HopPage({...first, ...news});
  const empty = page.elements[0].querySelectorAll('svg > g').length;
  const asked = JSON.stringify(page.model.sent);
  page.model.update(whole);
  page.look();
  await new Promise(end => setTimeout(end));
  page.model.update(newer);
  const [one, other] = [page.seen(0), page.seen(1)];
  const fresh = new HopPage(all), right = fresh.seen();
  page.close(), fresh.close();
  const same = seen => JSON.stringify(seen) === JSON.stringify(right);
  return [empty, asked, same(one), same(other)];
}"""


def test_who_comes_later_waits_for_the_whole_and_shows_the_same(page):
    assert page.evaluate(LATER, random_messages(1)) == [0, '[{"whole":true}]', True, True]


def test_a_page_that_asks_for_the_whole_gets_it():
    figure = any_figure(random.Random(2))
    figure.act("change")
    sent = []
    figure.send_state = lambda key=None: sent.append(figure.get_state(key)["view"])
    figure._handle_custom_msg({"whole": True}, [])
    assert '"base": null' in sent[0]


def test_only_what_is_new_is_sent():
    """One bit of a header: a few parts of two hundred."""
    figure = make("header")
    whole = len(figure.get_state()["view"])
    figure.act("flip", 100)
    assert len(figure.get_state({"view"})["view"]) < whole / 5


def test_controls_are_sent_again_when_they_change():
    scenes = any_figure(random.Random(2)).picture.scenes
    pictures = [Picture(scenes, (), (Button("go", name),)) for name in ("Go", "Go", "Stop")]
    figure = TouchFigure(pictures[0], {"next": lambda _: pictures.pop(0)})
    sent = []
    figure.send_state = lambda key=None: sent.append(json.loads(figure.get_state({"view"})["view"]))
    for _ in range(3):
        figure.act("next")
    assert [one["controls"] and one["controls"][0]["name"] for one in sent] == [None, None, "Stop"]


def test_an_answer_of_one_picture_is_one_message():
    figure = any_figure(random.Random(2))
    sent = []
    figure.send_state = lambda key=None: sent.append(set(key))
    figure.act("change")
    assert sent == [{"view", "done"}]
