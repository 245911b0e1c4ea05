"""All live figures as the workbooks show them, and a hand that touches whatever can be touched.

What holds for every figure is tested with these. `LINES` has the line of each figure, which a test
puts into a cell or runs itself. A figure that is new in `course_lib.widgets` is a new line here.
"""

import contextlib
import functools
import random
from unittest import mock

from course_lib import widgets
from course_lib.ferry.address_plan import NETS
from course_lib.headers.ipv4 import IPv4Header
from course_lib.widgets.touch.touch_figure import Button, Choice

HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum().build()
PADDED = bytes.fromhex("4600001a006f00007b014419c6336421cb0071019404000041420000000000000000")
ROUTES = {
    "": "North", "01": "Reed", "0110": "Gull", "011010": "Lantern", "1": "Curlew",
    "011": "Sandpiper", "11001": "Gull",
}  # fmt: skip
PLAN = {prefix: name for name, prefix in NETS.items()}
LINES = {
    "header": f"explore_header({HEADER!r})",
    "sum": "explore_sum(bytes.fromhex('0001 f203 f4f5 f6f7'))",
    "header that asks": f"explore_header({PADDED!r}, ask_end=True)",
    "errors": f"explore_errors({HEADER!r})",
    "prefixes": f"explore_prefixes({PLAN}, address='198.51.100.77', length=24)",
    "prefixes that ask": f"explore_prefixes({PLAN}, address='198.51.100.77', length=22, ask=True)",
    "trie": f"explore_trie({ROUTES}, at_first={tuple(ROUTES)[:5]}, address='01101111')",
    "trie that asks": f"explore_trie({ROUTES}, at_first={tuple(ROUTES)[:5]}, ask=True)",
    "neighbours": "explore_neighbours()",
    "journey": "explore_journey()",
    "buffer": "explore_buffers(flows=25, spread_ms=30)",
    "wait": "explore_waits()",
    "loss": "explore_loss()",
    "switch": "explore_switch()",
    "routes": "explore_routes()",
    "conformance": "watch_conformance()",
    "conformance, no router": "watch_conformance(lambda interfaces, routes: None, guess=0)",
}
# Whether words, numbers and pictures agree, and fit, does not depend on how long these measure.
SHORTER = {
    "buffer_explorer._REST_S": 0.0,
    "loss_explorer._REST_S": 0.0,
    "loss_explorer._SHARP_S": 40.0,
    "loss_explorer._CURVE_S": 20.0,
    "switch_explorer._LONG": 1_000,
    "wait_explorer._REST_S": 0.0,
    "wait_explorer._LONG": 2_000,
}  # by module, which is loaded when it is used
TOUCHES = 25
TYPED = ("0", "7", "0x1f", "0b101", "255", "1000")


def make(name):
    """Return the figure of a name, as a cell with its line would make it."""
    return eval(LINES[name], {each: getattr(widgets, each) for each in widgets.__all__})


@functools.cache
def scenes_of(name):
    """Return scenes after many touches: of each picture the first step, and those at its end.

    Figures that measure do so in short runs.
    """
    with contextlib.ExitStack() as changed:
        for place, value in SHORTER.items():
            changed.enter_context(mock.patch(f"course_lib.widgets.{place}", value))
        figure, rng, scenes = make(name), random.Random(5), {}
        for _ in range(TOUCHES):
            steps = figure.picture.scenes
            scenes |= dict.fromkeys((steps[0], *steps[-2:]))
            touch_at_random(figure, rng)
    return list(scenes)


def touch_at_random(figure, rng):
    """Touch one thing of a figure, whichever; return what it was as action and value."""
    picture = figure.picture
    things = [*picture.scenes[-1].touches, *picture.controls]
    # First what is done, and then with what: 160 bits do not hide a button.
    action = rng.choice(sorted({one.action for one in things}))
    value = _value(rng.choice([one for one in things if one.action == action]), rng)
    figure.act(action, value)
    return action, value


def _value(thing, rng):
    if isinstance(thing, Button):
        return None
    if isinstance(thing, Choice):
        return rng.choice(thing.options)
    if hasattr(thing, "high"):
        return rng.randint(thing.low, thing.high)
    return thing.value if hasattr(thing, "value") else rng.choice(TYPED)
