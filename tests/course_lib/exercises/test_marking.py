"""`mark` in a workbook: it finds the answer, says three lines, and returns points."""

import json
import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from course_lib.cli import main
from course_lib.exercises import hint, mark, progress, show_progress
from course_lib.exercises.marking import progress_table
from course_lib.exercises.registry import all_exercises, exercise
from instructor.units.items import item, source_of

pytestmark = pytest.mark.usefixtures("started_by_a_fork")

ANSWER = source_of(item("1.1").answer)


@pytest.fixture(autouse=True)
def in_an_empty_folder(tmp_path, monkeypatch):
    (tmp_path / progress.BUNDLE_MARK).touch()
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)


def mark_after(*cells, exercise_id="1.1"):
    """Call `mark` as a cell would, after these cells were run."""
    names = {"In": ["", *cells], "mark": mark, "given": exercise_id}
    exec("points = mark(given)", names)
    return names["points"]


def test_a_right_answer_earns_its_points(capsys):
    assert mark_after(ANSWER) == exercise("1.1").points
    said = capsys.readouterr()
    assert "right" in said.out
    assert said.err == ""


def test_the_last_run_of_the_cell_counts(capsys):
    assert mark_after(ANSWER, "def read_word(data, offset):\n    return 0\n") == 0
    assert mark_after("def read_word(data, offset):\n    return 0\n", ANSWER) == 2


def test_a_helper_in_another_cell_is_used_and_named(capsys):
    cells = ["SHIFT = 8", ANSWER.replace("<< 8", "<< SHIFT").replace("256", "(1 << SHIFT)")]
    assert mark_after(*cells) == 2
    if "SHIFT" in cells[1]:
        assert "SHIFT" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("answer", "points", "said"),
    [
        pytest.param("", 0, "no answer", id="nothing-run"),
        pytest.param(
            "def read_word(data, offset):\n    raise NotImplementedError\n", 0, "no answer",
            id="as-handed-out",
        ),
        pytest.param(
            "def read_word(data, offset):\n"
            "    if not 0 <= offset < len(data) - 1: raise ValueError\n"
            "    return data[offset] + data[offset + 1] * 256\n", 1,
            "It looks as if", id="a-known-belief",
        ),
        pytest.param("def read_word(data, offset):\n    return 'x'\n", 0, "bad value", id="type"),
        pytest.param("def read_word(data, offset):\n    return data.no\n", 0,
                     "AttributeError in line 2", id="error"),
        pytest.param("def read_word(data, offset):\n    while 1: pass\n", 0, "out of time",
                     id="endless-loop"),
        pytest.param(
            "def read_word(data, offset):\n    print('x' * 10 ** 6)\n    return 1\n", 0, "printed",
            id="print-flood",
        ),
        pytest.param(
            "import course_lib.headers as h\ndef read_word(data, offset):\n    return h.x\n", 0,
            "Write this one yourself", id="borrowed",
        ),
        pytest.param("def read_word(data, offset):\n    return lost(data)\n", 0, "NameError",
                     id="name-of-nothing"),
    ],
)  # fmt: skip
def test_what_goes_wrong_is_said_in_words(answer, points, said, capsys):
    assert mark_after(answer) == points
    out = capsys.readouterr()
    assert said in out.out
    assert out.err == ""
    assert len(out.out) < 3000


def test_what_a_broken_cell_would_define_is_named_as_such(capsys):
    uses = "def read_word(data, offset):\n    return join(lost, data)\n"
    assert mark_after("def join(a, b) return a", uses) == 0
    said = capsys.readouterr().out
    assert "not Python as it is, and could not be used: join." in said
    assert "In no cell: lost." in said


def test_where_no_cell_defines_the_function_that_is_said(capsys):
    assert mark_after("def read_words(data, offset):\n    return 0\n") == 0
    said = capsys.readouterr().out
    assert "No cell defines read_word." in said
    assert "was the cell run?\n" in said


def test_an_exercise_that_does_not_exist_is_named_with_those_that_do():
    with pytest.raises(LookupError, match=r"no exercise '9.9'; there are 1.1, "):
        mark("9.9")


def test_progress_survives_a_restart_and_keeps_the_best(tmp_path, capsys):
    mark_after(ANSWER)
    mark_after("def read_word(data, offset):\n    return 0\n")
    entry = progress.load(tmp_path / "progress.json")["1.1"]
    assert (entry.best, entry.attempts, entry.outcome) == (2.0, 2, "wrong")
    capsys.readouterr()
    show_progress()
    assert "2/2" in capsys.readouterr().out


def test_what_was_not_answered_yet_is_no_attempt(tmp_path):
    mark_after("def read_word(data, offset):\n    raise NotImplementedError\n")
    assert "1.1" not in progress.load(tmp_path / "progress.json")
    mark_after(ANSWER)
    mark_after()
    entry = progress.load(tmp_path / "progress.json")["1.1"]
    assert (entry.best, entry.attempts, entry.outcome) == (2.0, 1, "right")


def test_time_at_work_is_what_lies_between_two_marks_without_pauses(tmp_path):
    path = tmp_path / "progress.json"
    begin = datetime(2026, 10, 24, 23, 40, tzinfo=UTC)  # in Lisbon the clock goes back at 1:00
    after_min = {"1.1": 0, "1.2": 12, "1.3": 12 + 45, "1.4": 12 + 45 + 30}
    for name, minutes in after_min.items():
        now = begin + timedelta(minutes=minutes)
        there = now.astimezone(ZoneInfo("Europe/Lisbon"))
        progress.record(path, name, points=1.0, outcome="wrong", now=there)
    progress.record(path, "1.4", hint=True, now=now + timedelta(minutes=3))
    progress.record(path, "1.1", outcome="wrong", now=now - timedelta(minutes=9))  # set back
    told = {name: entry.minutes for name, entry in progress.load(path).items()}
    assert told == {"1.1": 0, "1.2": 12, "1.3": 0, "1.4": 33}  # 45 minutes are a pause
    copy = json.loads(progress.share(path, tmp_path).read_text())
    assert {(one["at"], one["hints"]) for one in copy.values()} == {("", 0)}
    assert copy["1.4"]["minutes"] == 33


def test_progress_has_a_sum_for_each_unit_and_says_what_is_kept():
    done = {"1.1": progress.Entry(2.0, "wrong", 3), "1.2": progress.Entry(1.0, "partly right", 1),
            "2.1": progress.Entry(0.0, "error", 2), "2.2": progress.Entry(hints=1)}  # fmt: skip
    panel = progress_table(done)
    lines = panel.text().splitlines()
    assert lines[0] == f"Progress: 3 of {sum(one.points for one in all_exercises()):g} points"
    assert "Best points are kept" in lines[1]
    rows = {"".join(line.split()[:2]): " ".join(line.split()) for line in lines[3:]}
    of = {item.id: item.points for item in all_exercises()}
    in_01 = sum(points for name, points in of.items() if name.startswith("1."))
    assert rows[f"01-frames-and-headers3/{in_01:g}"].endswith(f"3/{in_01:g} 2 of 6 tried")
    assert rows["02-checksums0/21"].endswith("0/21 1 of 6 tried")
    assert rows["✓1.1"].endswith("2/2 wrong 3 0")
    assert rows["◐1.2"].endswith("1/4 partly right 1 0")
    assert rows["✗2.1"].endswith("0/2 error 2 0")
    assert rows["○2.2"].endswith("0/4 not tried 0 1")
    assert max(map(len, lines)) <= 80


def test_below_a_check_stands_a_sentence_and_as_text_the_number_that_a_gradebook_reads():
    mark_after(ANSWER)
    points = mark_after("def read_word(data, offset):\n    return 0\n")
    assert (points, repr(points)) == (0.0, "0.0")
    assert "Unit 01: 2 of 24 points so far. Best points are kept." in points._repr_html_()


def test_a_gradebook_s_run_ends_in_a_bare_number(monkeypatch):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    assert type(mark_after(ANSWER)) is float


def test_a_damaged_progress_file_is_put_aside_and_said(tmp_path, capsys):
    (tmp_path / "progress.json").write_text("{not json")
    assert mark_after(ANSWER) == 2
    assert "progress.damaged.json" in capsys.readouterr().out
    mark_after(ANSWER)
    assert json.loads((tmp_path / "progress.json").read_text())["1.1"]["attempts"] == 1


def test_a_folder_that_cannot_be_written_costs_no_points(tmp_path, monkeypatch, capsys):
    def refuse(*_, **__):
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr(progress, "record", refuse)
    assert mark_after(ANSWER) == 2
    assert "Read-only" in capsys.readouterr().out


def test_a_gradebook_s_run_keeps_no_progress(tmp_path, monkeypatch):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    assert mark_after(ANSWER) == 2
    assert not (tmp_path / "progress.json").exists()


def test_hints_come_one_more_each_time(capsys):
    for step in (1, 2, 3, 3):
        hint("1.1")
        assert capsys.readouterr().out.count("Hint ") == step


def test_progress_is_found_from_inside_a_unit_s_folder(tmp_path, monkeypatch):
    inner = tmp_path / "workbooks" / "01"
    inner.mkdir(parents=True)
    assert progress.progress_file(inner) == tmp_path / "progress.json"


WEIGHS_BACKWARDS = (
    "def read_word(data, offset):\n"
    "    if not 0 <= offset < len(data) - 1: raise ValueError\n"
    "    return data[offset] + data[offset + 1] * 256\n"
)


def test_progress_knows_the_last_belief_and_what_was_worked_on_last(tmp_path):
    mark_after(WEIGHS_BACKWARDS)
    hint("1.2")
    done = progress.load(tmp_path / "progress.json")
    assert (done["1.1"].belief, [*done]) == ("low-octet-first", ["1.1", "1.2"])
    mark_after(ANSWER)
    done = progress.load(tmp_path / "progress.json")
    assert (done["1.1"].belief, [*done]) == ("", ["1.2", "1.1"])


def test_a_file_of_a_later_release_is_read_as_well(tmp_path):
    told = {"1.1": {"best": 1.0, "outcome": "wrong", "attempts": 2, "hints": 0, "new": 5}}
    (tmp_path / "progress.json").write_text(json.dumps(told))
    assert progress.load(tmp_path / "progress.json")["1.1"].attempts == 2


def test_a_copy_without_a_name_goes_to_the_board_if_the_student_wants_that(tmp_path, capsys):
    room, own = tmp_path / "room", tmp_path / "progress.json"
    room.mkdir()
    mark_after(WEIGHS_BACKWARDS)
    assert [*room.iterdir()] == []  # unasked nothing goes anywhere
    assert main(["progress", "--share", str(room)]) == 0
    (copy,) = room.iterdir()
    assert re.fullmatch(r"[0-9a-f]{16}\.json", copy.name)
    mark_after(ANSWER)
    told = json.loads(copy.read_text())
    assert told["1.1"]["outcome"] == "right"
    assert {name for one in told.values() for name in one} == set(progress.Entry.__slots__)
    assert main(["progress", "--share-no-more"]) == 0
    assert [*room.iterdir()] == []
    assert own.exists()
    assert main(["progress", "--share", str(tmp_path / "no" / "room")]) == 1
    assert "--share" in capsys.readouterr().err


def test_a_board_that_is_gone_is_said_and_progress_is_kept(tmp_path, capsys):
    room = tmp_path / "room"
    room.mkdir()
    progress.share(tmp_path / "progress.json", room)
    for one in room.iterdir():
        one.unlink()
    room.rmdir()
    assert mark_after(ANSWER) == exercise("1.1").points
    assert "the board of the room got no copy" in " ".join(capsys.readouterr().out.split())
    assert progress.load(tmp_path / "progress.json")["1.1"].outcome == "right"
