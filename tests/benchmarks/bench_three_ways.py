"""Buffers and loss three ways: theory, the simulator, and TCP between real kernels.

Run as a script: `python tests/benchmarks/bench_three_ways.py`, on a machine with nothing else to
do; it takes a minute. It prints all figures, with the load, and ends with code 1 if an order or a
sign is not as it must be: a larger buffer fills more of the line and makes the round trip longer;
rarer loss means a higher rate, with a slope near a half. How near the real runs come to theory is
told, and asked a second time where it is not near enough; that alone is no failure.

With an argument, a folder, both pictures are left there.
"""

import itertools
import math
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from course_lib.figures.drawing.plots import shown
from course_lib.figures.live.three_ways_curves import three_ways_curves
from course_lib.live.ability import live_ability
from course_lib.live.three_ways.buffer_ways import TRIP, USE, three_ways_buffer
from course_lib.live.three_ways.loss_ways import RATE, three_ways_loss
from course_lib.live.three_ways.points import Curve, ThreeWays, steepness

NEAR = {10: 0.08, 20: 0.04, 50: 0.01, 100: 0.01}  # by buffer, of the saw-tooth
OF_THE_LAW, SLOPES = (0.80, 1.05), (0.45, 0.60)
SLACK = 0.02  # by so much a curve may fall where it must rise: both ends may be full


def main(folder: Path | None) -> int:
    """Ask both questions; return the exit code."""
    ability = live_ability()
    if not ability.is_there:
        print(ability)
        return 1 if os.environ.get("CI") == "true" else 0
    buffers = asked(three_ways_buffer, wrong_about_buffers, far_about_buffers)
    losses = asked(three_ways_loss, wrong_about_loss, far_about_loss)
    if folder is not None:
        for name, ways in (("buffer", buffers), ("loss", losses)):
            figure = shown(three_ways_curves(ways, is_power_law=name == "loss"))
            (folder / f"three_ways_{name}.svg").write_text(figure.svg)
    wrong = [*wrong_about_buffers(buffers), *wrong_about_loss(losses)]
    print(*(f"WRONG: {words}" for words in wrong), sep="\n")
    return 1 if wrong else 0


def asked(
    ask: Callable[[], ThreeWays],
    wrong: Callable[[ThreeWays], list[str]],
    far: Callable[[ThreeWays], list[str]],
) -> ThreeWays:
    """Ask, and once more if the answer is not as it should be; print each."""
    for _ in range(2):
        ways = ask()
        print(f"\n{shown(three_ways_curves(ways)).text}")
        off = [*wrong(ways), *far(ways)]
        print(*(f"off: {words}" for words in off), sep="\n", flush=True)
        if not off:
            break
    return ways


def wrong_about_buffers(ways: ThreeWays) -> list[str]:
    """Return which orders do not hold."""
    if not ways.is_valid:
        return [ways.note]
    return [
        words
        for control in ("reno", "cubic")
        # Where programs come late, it is that which makes a round trip long, and not the buffer.
        for quantity in ((USE,) if ways.caution else (USE, TRIP))
        for words in falls(ways.curve(control, quantity))
    ]


def far_about_buffers(ways: ThreeWays) -> list[str]:
    """Return where the real use of the line is too far from the saw-tooth."""
    return [
        f"{control}, {one.x:g} packets: {one.real_off:+.1%}, and {NEAR[round(one.x)]:.0%} is near"
        for control in ("reno", "cubic")
        for one in ways.curve(control, USE).answers
        if one.real_off is not None and abs(one.real_off) > NEAR[round(one.x)]
    ]


def wrong_about_loss(ways: ThreeWays) -> list[str]:
    """Return which orders do not hold."""
    if not ways.is_valid:
        return [ways.note]
    return [words for control in ("reno", "cubic") for words in falls(ways.curve(control, RATE))]


def far_about_loss(ways: ThreeWays) -> list[str]:
    """Return where the real rate is too far from the law, and slopes that are not near a half."""
    told = []
    for control in ("reno", "cubic"):
        rows = ways.curve(control, RATE).answers
        for one in rows:
            share = math.nan if one.real_off is None else 1 + one.real_off
            if not OF_THE_LAW[0] <= share <= OF_THE_LAW[1]:
                told.append(f"{control}, one lost in {one.x:g}: {share:.2f} of the law")
        slope = steepness([(one.x, one.real.mean) for one in rows if one.real is not None])
        print(f"{control}: slope {slope:.3f}")
        if not SLOPES[0] <= slope <= SLOPES[1]:
            told.append(f"{control}: slope {slope:.3f}")
    return told


def falls(curve: Curve) -> list[str]:
    """Return where a real curve falls that must rise."""
    real = [one.real for one in curve.answers if one.real is not None]
    return [
        f"{curve.control}, {curve.quantity}: {high.mean:.4g} at {high.x:g}, below {low.mean:.4g}"
        for low, high in itertools.pairwise(real)
        if high.mean < (1 - SLACK) * low.mean
    ]


def folder_of(words: Sequence[str]) -> Path | None:
    """Return the folder that was named, if one was."""
    return Path(words[0]) if words else None


if __name__ == "__main__":
    sys.exit(main(folder_of(sys.argv[1:])))
