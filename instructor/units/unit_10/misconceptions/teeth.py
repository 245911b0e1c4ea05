"""Misconceptions about one tooth of the saw: exercise 10.2."""

__all__ = ["ONE_TOOTH"]

from collections.abc import Callable, Sequence
from typing import Any

Tooth = tuple[int, int, float]


def right_share(windows: Sequence[int], pipe: int) -> float:
    """Return what was sent as a share of what could have been sent."""
    return sum(windows) / sum(max(window, pipe) for window in windows)


def right_windows(pipe: int, room: int) -> range:
    """Return all windows of one tooth."""
    return range((pipe + room) // 2, pipe + room + 1)


def tooth_by_round_trips(pipe: int, room: int) -> Tooth:
    """Believe that each round trip takes as long, whether packets wait or not."""
    windows = right_windows(pipe, room)
    shares = [min(1.0, window / pipe) for window in windows]
    return windows[0], windows[-1], sum(shares) / len(shares)


def tooth_above_the_line(pipe: int, room: int) -> Tooth:
    """Believe that what waits is being sent as well."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], sum(windows) / (len(windows) * pipe)


def tooth_without_the_buffer(pipe: int, room: int) -> Tooth:
    """Believe that a window ends where the pipe is full."""
    windows = range(pipe // 2, pipe + 1)
    return windows[0], windows[-1], right_share(windows, pipe)


def tooth_halving_the_pipe(pipe: int, room: int) -> Tooth:
    """Believe that after a loss half the pipe is left, however much was under way."""
    windows = range(pipe // 2, pipe + room + 1)
    return windows[0], windows[-1], right_share(windows, pipe)


def tooth_from_one(pipe: int, room: int) -> Tooth:
    """Believe that each loss makes the sender begin again with one packet."""
    windows = range(1, pipe + room + 1)
    return windows[0], windows[-1], right_share(windows, pipe)


def tooth_of_the_top(pipe: int, room: int) -> Tooth:
    """Believe that a line that gets full is full all the time."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], 1.0


def tooth_of_the_bottom(pipe: int, room: int) -> Tooth:
    """Believe that the lowest window decides."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], min(1.0, windows[0] / pipe)


def tooth_of_the_middle(pipe: int, room: int) -> Tooth:
    """Believe that the middle of lowest and highest window decides."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], min(1.0, (windows[0] + windows[-1]) / 2 / pipe)


def tooth_without_its_top(pipe: int, room: int) -> Tooth:
    """Believe that the highest window is not used any more."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], right_share(windows[:-1], pipe)


def tooth_without_its_bottom(pipe: int, room: int) -> Tooth:
    """Believe that the lowest window is not used, since it grows at once."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], right_share(windows[1:], pipe)


def tooth_with_the_lost_packet(pipe: int, room: int) -> Tooth:
    """Believe that the packet that is lost belongs to the highest window."""
    windows = range((pipe + room + 1) // 2, pipe + room + 2)
    return windows[0], windows[-1], right_share(windows, pipe)


def tooth_rounded_up(pipe: int, room: int) -> Tooth:
    """Believe that half of an odd number is rounded up."""
    windows = range((pipe + room + 1) // 2, pipe + room + 1)
    return windows[0], windows[-1], right_share(windows, pipe)


def tooth_that_doubles(pipe: int, room: int) -> Tooth:
    """Believe that the window doubles each round trip, here too."""
    lowest, highest = (pipe + room) // 2, pipe + room
    return lowest, highest, right_share([lowest, highest], pipe)


def tooth_in_percent(pipe: int, room: int) -> Tooth:
    """Believe that a share is a percentage."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], 100 * right_share(windows, pipe)


def tooth_rounded(pipe: int, room: int) -> Tooth:
    """Believe that two places of the share are enough."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], round(right_share(windows, pipe), 2)


def tooth_in_three_places(pipe: int, room: int) -> Tooth:
    """Believe that three places of the share are enough."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], round(right_share(windows, pipe), 3)


def tooth_in_four_places(pipe: int, room: int) -> Tooth:
    """Believe that four places of the share are enough."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], round(right_share(windows, pipe), 4)


def tooth_upside_down(pipe: int, room: int) -> Tooth:
    """Believe that a share is what could be, divided by what is."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], 1 / right_share(windows, pipe)


def tooth_of_a_wider_line(pipe: int, room: int) -> Tooth:
    """Believe that the line could have sent pipe and buffer in every round trip."""
    windows = right_windows(pipe, room)
    return windows[0], windows[-1], sum(windows) / (len(windows) * (pipe + room))


ONE_TOOTH: dict[str, Callable[..., Any]] = {
    "round-trips-take-as-long": tooth_by_round_trips,
    "waiting-counts-as-sent": tooth_above_the_line,
    "buffer-holds-no-window": tooth_without_the_buffer,
    "halves-the-pipe": tooth_halving_the_pipe,
    "starts-again-at-one": tooth_from_one,
    "full-once-means-full": tooth_of_the_top,
    "lowest-window-decides": tooth_of_the_bottom,
    "middle-window-decides": tooth_of_the_middle,
    "highest-window-left-out": tooth_without_its_top,
    "lowest-window-left-out": tooth_without_its_bottom,
    "lost-packet-counted-in": tooth_with_the_lost_packet,
    "half-rounded-up": tooth_rounded_up,
    "window-doubles": tooth_that_doubles,
    "share-in-percent": tooth_in_percent,
    "share-rounded": tooth_rounded,
    "share-in-three-places": tooth_in_three_places,
    "share-in-four-places": tooth_in_four_places,
    "share-upside-down": tooth_upside_down,
    "buffer-widens-the-line": tooth_of_a_wider_line,
}
