"""The board of a room: how far it is, where it is stuck, and nobody who could be told from it."""

import itertools
import json
import re
from dataclasses import asdict

import pytest

from course_lib.cli import main
from course_lib.exercises.progress import Entry
from course_lib.exercises.registry import all_exercises
from instructor.room.board import SMALLEST_GROUP, SMALLEST_ROOM, board_of
from instructor.room.progress_files import LARGEST, read_pairs, read_room

RIGHT, WRONG = Entry(4.0, "right", 1), Entry(0.0, "wrong", 4)
NONE_GOES_ON = Entry(0.0, "wrong", 4, belief="nothing-means-go-on")
UNIT = "06-the-forwarding-path"


def groups_of(right, working, begun):
    """Return the groups of 6.1 for so many machines that have it right, work at it, or do not."""
    others = {"6.2": WRONG}
    everybody = [{"6.1": RIGHT}] * right + [{"6.1": WRONG}] * working + [others] * begun
    return board_of(everybody, UNIT).bars[0].groups


TOLD = {
    "all apart": ((40, 50, 30), (("right", 40), ("at work", 50), ("not begun", 30))),
    "just enough": ((3, 3, 3), (("right", 3), ("at work", 3), ("not begun", 3))),
    "two are right": ((2, 10, 8), (("right or at work", 12), ("not begun", 8))),
    "one has not begun": ((5, 6, 1), (("right", 5), ("at work or not begun", 7))),
    "one is at work": ((9, 1, 5), (("right", 9), ("at work or not begun", 6))),
    "no neighbour but one": ((9, 0, 2), (("right or not begun", 11),)),
    "too few for any": ((2, 2, 1), (("right or at work or not begun", 5),)),
    "all of them": ((0, 0, 7), (("not begun", 7),)),
}  # fmt: skip


@pytest.mark.parametrize(("there", "told"), TOLD.values(), ids=TOLD)
def test_who_would_stand_in_a_small_group_is_counted_with_the_next(there, told):
    assert [(" or ".join(one.kinds), one.machines) for one in groups_of(*there)] == [*told]


def test_no_room_of_any_size_shows_a_small_group():
    rooms = [one for one in itertools.product(range(7), repeat=3) if sum(one) >= SMALLEST_ROOM]
    for there in rooms:
        groups = groups_of(*there)
        assert sum(one.machines for one in groups) == sum(there)
        assert min(one.machines for one in groups) >= SMALLEST_GROUP
        kinds = [kind for one in groups for kind in one.kinds]
        assert len(kinds) == sum(map(bool, there))


STUCK = {
    "a belief that three share": ([NONE_GOES_ON] * 3 + [WRONG] * 2, (5, 3)),
    "one that two share": ([NONE_GOES_ON] * 2 + [WRONG] * 3, (5, 0)),
    "two in one place": ([WRONG] * 2 + [RIGHT] * 4, None),
    "first attempts": ([Entry(0.0, "wrong", 2)] * 6, None),
}  # fmt: skip


@pytest.mark.parametrize(("entries", "told"), STUCK.values(), ids=STUCK)
def test_where_most_are_stuck_is_said_if_three_are(entries, told):
    board = board_of([{"6.1": RIGHT, "6.3": one} for one in entries])
    assert board.unit == UNIT
    if told is None:
        assert board.stuck == ()
        return
    (one,) = board.stuck
    assert (one.exercise, one.machines, one.believing) == ("6.3", *told)
    assert ("returns None" in one.belief, "Is None a packet" in one.question) == (
        bool(told[1]),
    ) * 2


def test_somebody_who_went_on_is_no_longer_stuck():
    went_on = [{"6.3": WRONG, "6.4": Entry(4.0, "right", 1)}] * 6
    assert board_of(went_on).stuck == ()
    came_back = [{"6.4": RIGHT, "6.3": WRONG}] * 6
    assert board_of(came_back).stuck[0].machines == 6


NO_PROGRESS = {
    "a list": "[]", "half": "{", "too large": " " * (LARGEST + 1), "deep": "[" * 99_999,
    "no number": '{"6.1": {"best": NaN, "outcome": "right", "attempts": 1}}',
    "no outcome": '{"6.1": {"best": 1, "outcome": "<script>", "attempts": 1}}',
    "a text": '{"6.1": {"best": 1, "outcome": "right", "attempts": "9"}}',
}  # fmt: skip


def as_file(path, entries):
    path.parent.mkdir(exist_ok=True)
    path.write_text(json.dumps({name: asdict(one) for name, one in entries.items()}))


def test_files_of_students_are_data_and_a_pair_is_one(tmp_path):
    as_file(tmp_path / "alder.json", {"6.1": RIGHT, "6.2": WRONG})
    as_file(tmp_path / "birch.json", {"6.1": WRONG, "6.2": RIGHT})
    as_file(tmp_path / "clover" / "progress.json", {"6.3": NONE_GOES_ON, "99.9": RIGHT})
    as_file(tmp_path / "dill.json", {"6.3": Entry(0.0, "wrong", 1, belief="<b>made up</b>")})
    for name, text in NO_PROGRESS.items():
        (tmp_path / f"{name}.json").write_text(text)
    apart = read_room(tmp_path)
    assert (len(apart.everybody), apart.unreadable) == (4, len(NO_PROGRESS))
    table = tmp_path / "pairs.csv"
    table.write_text("alder, birch\nclover\n")
    together = read_room(tmp_path, read_pairs(table))
    assert len(together.everybody) == 3
    assert {name: one.best for name, one in together.everybody[0].items()} == {"6.1": 4, "6.2": 4}
    beliefs = {one["6.3"].belief for one in together.everybody if "6.3" in one}
    assert beliefs == {"nothing-means-go-on", ""}
    table.write_text("alder,birch\nbirch,dill\n")
    with pytest.raises(ValueError, match="line 2: birch stands in an earlier line, too"):
        read_pairs(table)


def test_a_graded_course_folder_is_a_room_as_well(tmp_path):
    rows = ["student,unit,exercise,title,outcome,misconception,points,max_points,needs_person,note"]
    rows += [f"s{n},{UNIT},6.3,x,wrong,nothing-means-go-on,0,4,no," for n in range(6)]
    rows += [f"s0,{UNIT},6.4,x,no answer,,0,4,no,", f"s1,{UNIT},explain-1,x,in words,,,2,yes,"]
    (tmp_path / "results").mkdir()
    (tmp_path / "results" / "scores.csv").write_text("\n".join(rows) + "\n")
    board = board_of(read_room(tmp_path).everybody)
    assert (board.machines, board.stuck[0].believing) == (6, 6)


def test_the_page_names_nobody_and_asks_for_itself_anew(tmp_path, capsys):
    for name in ("alder", "birch", "clover", "dill", "elder", "fern"):
        as_file(tmp_path / f"{name}.json", {"6.1": RIGHT, "6.3": NONE_GOES_ON})
    out = tmp_path / "wall" / "board.html"
    assert main(["board", str(tmp_path), "--once", "--out", str(out)]) == 0
    page = out.read_text("utf-8")
    assert '<meta http-equiv="refresh" content="10">' in page
    assert not re.search(r"alder|birch|clover|<script|src=|https?:", page)
    assert "Is None a packet, or a reason?" in page
    assert 'aria-label="6.1: 6 right"' in page
    assert "6 machines" in capsys.readouterr().out
    assert main(["board", str(tmp_path), "--once", "--unit", "02", "--out", str(out)]) == 0
    assert "02 Checksums" in out.read_text("utf-8")
    assert main(["board", str(tmp_path), "--unit", "77"]) == 1
    assert main(["board", str(tmp_path / "nowhere")]) == 1


@pytest.mark.parametrize("machines", [0, 1, SMALLEST_ROOM - 1])
def test_a_tiny_room_is_not_shown(machines, tmp_path):
    for number in range(machines):
        as_file(tmp_path / f"{number}.json", {"6.1": RIGHT})
    assert main(["board", str(tmp_path), "--once", "--out", str(tmp_path / "b.html")]) == 0
    page = (tmp_path / "b.html").read_text("utf-8")
    assert 'class="row"' not in page
    assert "hopbyhop progress --share FOLDER" in page


def test_every_exercise_of_every_unit_has_a_bar():
    everybody = [{one.id: RIGHT for one in all_exercises()}] * 6
    for unit in {one.unit for one in all_exercises()}:
        wanted = [one.id for one in all_exercises() if one.unit == unit]
        assert [bar.exercise for bar in board_of(everybody, unit).bars] == wanted
