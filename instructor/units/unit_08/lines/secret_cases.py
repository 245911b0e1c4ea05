"""The secret questions of 8.1 and 8.2.

Every aspect and every kind is there for every seed. What one aspect asks for must not fall with
another: so where room is asked for, all sendings take the same time; where the order of those who
come together is, nobody is dropped; and where a window is asked for, nobody is dropped either.
"""

__all__ = ["line_questions", "record_questions"]

import random
from itertools import accumulate, pairwise

from instructor.units.items import Question

Line = tuple[list[int], list[int], int]
Record = tuple[list[int], list[int | None], int, int]

# 8.1


def line_questions(rng: random.Random) -> list[Question]:
    """Draw lines with room for all, with too little room, and with moments that meet."""
    kinds = (
        ("who waits how long", _room_for_all, 4),
        ("who waits how long", _idle_between, 3),
        ("who waits how long", _longer_and_longer, 2),
        ("no room", _last_is_dropped, 2),
        ("no room", _next_finds_room, 3),
        ("no room", _next_finds_most_gone, 2),
        ("no room", _next_finds_nobody, 2),
        ("no room", _room_for_one, 2),
        ("no room", _too_many_together, 2),
        ("no room", _crowd, 4),
        ("at the same moment", _leaves_as_it_comes, 4),
        ("at the same moment", _come_together, 4),
    )
    return [Question(aspect, draw(rng)) for aspect, draw, number in kinds for _ in range(number)]


def _room_for_all(rng: random.Random) -> Line:
    packets = rng.randint(5, 8)
    gaps = [rng.randint(1, 6) for _ in range(packets)]
    takes = [rng.randint(3, 12) for _ in gaps]
    takes[1:4] = rng.sample(range(4, 14), 3)
    return list(accumulate(gaps)), takes, packets + rng.randint(0, 3)


def _idle_between(rng: random.Random) -> Line:
    """Return two crowds, with an idle line between them."""
    came, takes, room = _room_for_all(rng)
    later = came[-1] + sum(takes) + rng.randint(2, 20)
    size = rng.randint(2, 3)
    came += [later + place for place in range(size)]
    return came, takes + rng.sample(range(3, 14), size), room + size


def _longer_and_longer(rng: random.Random) -> Line:
    """Return packets of which each takes longer than the one before, on a busy line."""
    packets = rng.randint(4, 6)
    first, *rest = sorted(rng.sample(range(packets, 30), packets))
    return list(range(packets)), [first, *rest], packets


def _full_line(rng: random.Random) -> tuple[int, int, list[int]]:
    """Return room, sending time, and who comes within one sending time until one is dropped."""
    room, takes = rng.randint(2, 4), rng.randint(8, 20)
    came = [0, *sorted(rng.sample(range(1, takes), room))]
    return room, takes, came


def _last_is_dropped(rng: random.Random) -> Line:
    room, takes, came = _full_line(rng)
    return came, [takes] * len(came), room


def _next_finds_room(rng: random.Random) -> Line:
    """Go on when one has left, while the others are still there."""
    room, takes, came = _full_line(rng)
    came += [takes + rng.randint(1, takes - 1)]
    if rng.random() < 0.5:
        came += [2 * takes + rng.randint(1, takes - 1)]
    return came, [takes] * len(came), room


def _next_finds_most_gone(rng: random.Random) -> Line:
    """Go on when only the last of three is still there."""
    takes = rng.randint(8, 20)
    came = [0, *sorted(rng.sample(range(1, takes), 3)), 2 * takes + rng.randint(1, takes - 1)]
    return came, [takes] * len(came), 3


def _next_finds_nobody(rng: random.Random) -> Line:
    """Go on when all have left, but before one more could have been sent."""
    room, takes, came = _full_line(rng)
    came += [room * takes + rng.randint(1, takes - 1)]
    return came, [takes] * len(came), room


def _room_for_one(rng: random.Random) -> Line:
    takes = rng.randint(5, 20)
    came = [0, rng.randint(1, takes - 1), 3 * takes + rng.randint(1, 9)]
    came += [came[-1] + rng.randint(1, takes - 1), came[-1] + 3 * takes + rng.randint(1, 9)]
    return came, [takes] * len(came), 1


def _too_many_together(rng: random.Random) -> Line:
    """Return packets that come at one moment, one more than there is room for, and a later one."""
    room, takes, first = rng.randint(1, 3), rng.randint(8, 20), rng.randint(0, 9)
    later = first + (room + 1) * takes + rng.randint(1, 9)
    return [*[first] * (room + 1), later], [takes] * (room + 2), room


def _crowd(rng: random.Random) -> Line:
    """Return packets that come at twice the rate of the line, which is never idle."""
    room, takes = rng.randint(2, 3), rng.randint(7, 15)
    moments = [now for now in range(1, 6 * takes) if now % takes]
    while True:
        came = [0, *sorted(rng.sample(moments, 11))]
        if max(later - one for one, later in pairwise(came)) < takes:
            return came, [takes] * len(came), room


def _leaves_as_it_comes(rng: random.Random) -> Line:
    """Fill the room, and go on each time when one leaves: nobody is dropped."""
    room, takes = rng.randint(2, 4), rng.randint(8, 20)
    came = [0, *sorted(rng.sample(range(1, takes), room - 1))]
    came += [takes * turn for turn in range(1, rng.randint(3, 5))]
    return came, [takes] * len(came), room


def _come_together(rng: random.Random) -> Line:
    """Let some come at one moment, with different sendings, and room for all."""
    came = rng.choice(([0, 1, 1, 2, 2], [0, 0, 1, 1, 1], [0, 0, 0, 1, 2], [0, 2, 2, 2, 2]))
    return came, rng.sample(range(3, 20), 5), rng.randint(5, 8)


# 8.2


def record_questions(rng: random.Random) -> list[Question]:
    """Draw records that are looked at as a whole, in part, and with dropped packets."""
    kinds = (
        ("a whole run", _whole_run, 3),
        ("a whole run", _run_to_the_last, 3),
        ("a whole run", _one_alone, 1),
        ("a window", _overhang, 2),
        ("a window", _there_before, 2),
        ("a window", _both, 3),
        ("a window", _nobody_comes, 2),
        ("a window", _nobody_at_all, 1),
        ("a window", _comes_at_the_end, 2),
        ("a window", _comes_at_the_start, 2),
        ("a window", _leaves_at_the_start, 2),
        ("dropped packets", _with_drops, 5),
        ("dropped packets", _drop_afterwards, 2),
    )
    return [Question(aspect, draw(rng)) for aspect, draw, number in kinds for _ in range(number)]


def _middle(rng: random.Random, start: int) -> tuple[list[int], list[int]]:
    """Return some packets that come after `start`, and leave in no order, with idle time."""
    came, left = [], []
    now = start
    for _ in range(rng.randint(3, 5)):
        now += rng.randint(1, 9)
        came.append(now)
        left.append(now + rng.choice((rng.randint(2, 6), rng.randint(7, 25))))
    left[0] = max(left) + rng.randint(1, 5)  # the first one is overtaken
    later = left[0] + rng.randint(2, 9)
    return [*came, later], [*left, later + rng.randint(3, 30)]


def _whole_run(rng: random.Random) -> Record:
    came, left = _middle(rng, rng.randint(2, 20))
    return came, [*left], 0, 200 if max(left) < 200 else 250


def _one_alone(rng: random.Random) -> Record:
    came = rng.randint(2, 20)
    left = came + rng.randint(2, 30)
    return [came], [left], 0, left + rng.randint(1, 30)


def _run_to_the_last(rng: random.Random) -> Record:
    """End the window when the last packet leaves; no mean comes out in hundredths."""
    while True:
        came, left = _middle(rng, rng.randint(2, 20))
        spent = sum(left) - sum(came)
        if 100 * spent % max(left):
            return came, [*left], 0, max(left)


def _gone_before(rng: random.Random) -> tuple[list[int], list[int], int]:
    """Return a packet that was there before a window, and where that window begins."""
    came = rng.randint(0, 9)
    left = came + rng.randint(2, 9)
    return [came], [left], left + rng.randint(1, 5)


def _afterwards(rng: random.Random, end: int) -> tuple[int, int]:
    came = end + rng.randint(1, 5)
    return came, came + rng.randint(1, 9)


def _joined(
    early: tuple[list[int], list[int]], middle: tuple[list[int], list[int]], late: tuple[int, int]
) -> tuple[list[int], list[int | None]]:
    return [*early[0], *middle[0], late[0]], [*early[1], *middle[1], late[1]]


def _overhang(rng: random.Random) -> Record:
    """End the window while some are inside; nobody is when it begins."""
    *early, start = _gone_before(rng)
    middle = _middle(rng, start)
    end = max(middle[1]) - rng.randint(1, 2)
    came, left = _joined((early[0], early[1]), middle, _afterwards(rng, max(middle[1])))
    return came, left, start, end


def _there_before(rng: random.Random) -> Record:
    """Begin the window while one is inside; nobody is when it ends."""
    *early, start = _gone_before(rng)
    early[1][0] = start + rng.randint(3, 12)
    middle = _middle(rng, start)
    end = max(*middle[1], early[1][0]) + rng.randint(1, 9)
    came, left = _joined((early[0], early[1]), middle, _afterwards(rng, end))
    return came, left, start, end


def _both(rng: random.Random) -> Record:
    came, left, start, _ = _there_before(rng)
    inner = [one for one in left[1:-1] if one is not None]
    return came, left, start, max(inner) - rng.randint(1, 2)


def _nobody_comes(rng: random.Random) -> Record:
    """Look at a time when some are inside, and none comes."""
    came = sorted(rng.sample(range(12), 3))
    left: list[int | None] = [rng.randint(16, 22), rng.randint(24, 60), rng.randint(12, 13)]
    late = rng.randint(40, 50)
    return [*came, late], [*left, late + 9], 14, rng.randint(24, 39)


def _nobody_at_all(rng: random.Random) -> Record:
    """Look at a time when nobody is there."""
    came, left = _middle(rng, 0)
    start, length = max(left) + rng.randint(0, 9), rng.randint(5, 30)
    late = start + length + rng.randint(1, 9)
    return [*came, late], [*left, late + rng.randint(1, 9)], start, start + length


def _comes_at_the_end(rng: random.Random) -> Record:
    *early, start = _gone_before(rng)
    middle = _middle(rng, start)
    end = max(middle[1]) + rng.randint(0, 9)
    came, left = _joined((early[0], early[1]), middle, (end, end + rng.randint(1, 40)))
    return came, left, start, end


def _comes_at_the_start(rng: random.Random) -> Record:
    *early, start = _gone_before(rng)
    came, left = _middle(rng, start)
    came[0] = start
    end = max(left) + rng.randint(1, 9)
    all_came, all_left = _joined((early[0], early[1]), (came, left), _afterwards(rng, end))
    return all_came, all_left, start, end


def _leaves_at_the_start(rng: random.Random) -> Record:
    *early, start = _gone_before(rng)
    early[1][0] = start
    middle = _middle(rng, start)
    end = max(middle[1]) + rng.randint(1, 9)
    came, left = _joined((early[0], early[1]), middle, _afterwards(rng, end))
    return came, left, start, end


def _with_drops(rng: random.Random) -> Record:
    """Let some of a whole run be dropped: one at the end of the crowd, and others."""
    start = rng.randint(2, 20)
    came, left = _middle(rng, start)
    all_left: list[int | None] = [*left]
    places = {len(came) - 2, rng.randint(1, len(came) - 2)}
    for place in sorted(places, reverse=True):
        came.insert(place, came[place] - rng.randint(0, 1))
        all_left.insert(place, None)
    return sorted(came), all_left, start - 1, max(left) + rng.randint(1, 30)


def _drop_afterwards(rng: random.Random) -> Record:
    """Let nobody but the last one be dropped, behind the window."""
    start = rng.randint(2, 20)
    came, left = _middle(rng, start)
    end = max(left) + rng.randint(1, 30)
    return [*came, end + rng.randint(0, 9)], [*left, None], start - 1, end
