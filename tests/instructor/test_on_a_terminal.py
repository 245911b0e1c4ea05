"""What commands say fits 80 columns, blames the argument that is wrong, and says what to type."""

import io
import re
import shlex
import shutil
from dataclasses import replace

import pytest
from rich.console import Console

from classes.graded_class import (
    CLASS,
    RECORD_FILE,
    RIGHT,
    UNIT,
    copy_of,
    keep_cases,
    only_first,
    open_record,
    public_only,
    with_class,
)
from course_lib.cli import main
from course_lib.exercises.progress import BUNDLE_MARK
from course_lib.exercises.registry import exercise
from course_lib.exercises.verdict import Outcome
from hand_ins.hand_in_files import hand_in
from instructor.class_run.explained import TOPICS
from instructor.demo.run import run_demo
from instructor.grading.pages.score_table import score_lines, score_table
from instructor.output.wrong_places import WrongPlaceError
from instructor.release.course_folder import named_course

pytestmark = pytest.mark.usefixtures("walls_tried_once")

COMMANDS = (
    "open", "check-machine", "progress", "release", "grade", "mark-words", "archive", "forget",
    "machines", "roster", "deadlines", "requests", "plan", "hand-on", "handbook", "board",
    "question-sheets", "read-sheets", "compare", "reading-edition", "room", "demo",
)  # fmt: skip
SCREEN = 30


@pytest.fixture(autouse=True)
def eighty_columns(monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")


@pytest.fixture(scope="module")
def there(bare_course, tmp_path_factory):
    """Make places that people mix up, and stand among them."""
    here = tmp_path_factory.mktemp("places")
    with_class(copy_of(bare_course, here / "class"), {"alder": only_first(RIGHT)})
    copy_of(bare_course, here / "new")
    (here / "bundle").mkdir()
    (here / "bundle" / BUNDLE_MARK).touch()
    hand_in(here / "mail", "alder", only_first(RIGHT))
    hand_in(here / "collected" / "mail", "alder", only_first(RIGHT))
    (here / "empty").mkdir()
    (here / "notes.txt").write_text("alder\n")
    (here / "octets").write_bytes(b"\xff\xfe")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(here)
        yield here


@pytest.fixture
def said(capsys):
    """Give a function that runs a command in words and returns its status, output and errors."""

    def run(line):
        capsys.readouterr()
        try:
            status = main(shlex.split(line))
        except SystemExit as ended:
            status = ended.code
        seen = capsys.readouterr()
        for text in (seen.out, seen.err):
            assert [one for one in text.splitlines() if len(one) > 80] == []
        return status, seen.out, seen.err

    return run


def commands_in(text):
    """Return the commands of ours that a text tells one to type, without the program's name."""
    lines = text.replace("\\\n", "").splitlines()
    words = [shlex.split(line) for line in lines if line.startswith("    ")]
    ours = [one for one in words if re.search(r"hopbyhop$|course_lib\.cli$", " ".join(one[:3]))
            or (one and one[0].endswith("hopbyhop"))]  # fmt: skip
    return [" ".join(map(shlex.quote, one[1:])) for one in ours]


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help_fits_a_screen_and_says_first_what_is_usual(command, said):
    status, out, _ = said(f"{command} --help")
    assert status == 0
    assert len(out.splitlines()) <= SCREEN
    if "usual:" in out and "now and then:" in out:
        assert out.index("usual:") < out.index("now and then:") < out.index("--help")


@pytest.mark.parametrize("topic", TOPICS)
def test_what_is_rarely_needed_is_explained_a_topic_a_screen(topic, said):
    status, out, _ = said(f"grade --explain {topic}")
    assert status == 0
    assert len(out.splitlines()) <= SCREEN


WRONG = {
    "": (2, "COMMAND"),
    "opne": (2, "COMMAND"),
    "progress now": (2, "now"),
    "open nowhere": (1, "FOLDER nowhere"),
    "open notes.txt": (1, "FOLDER notes.txt"),
    "release": (2, "FOLDER"),
    "release --units 01-frames-and-headers new": (2, "FOLDER"),
    "release notes.txt": (1, "FOLDER notes.txt"),
    "release notes.txt/deeper": (1, "FOLDER notes.txt/deeper"),
    "release class/course": (1, "FOLDER class/course"),
    "release bundle": (1, "FOLDER bundle"),
    "release elsewhere --units 99": (1, "--units 99"),
    "release elsewhere --units 0": (1, "--units 0"),
    "demo class": (1, "FOLDER class"),
    "demo notes.txt": (1, "FOLDER notes.txt"),
    "demo --seed one": (2, "--seed"),
    "grade": (2, "FOLDER"),
    "grade --again alder mail": (2, "FOLDER"),
    "grade nowhere": (1, "FOLDER nowhere"),
    "grade nowhere --course nowhere": (1, "FOLDER nowhere"),
    "grade notes.txt --course class/course": (1, "FOLDER notes.txt"),
    "grade class": (1, "FOLDER class"),
    "grade bundle --course class/course": (1, "FOLDER bundle"),
    "grade new/course": (1, "FOLDER new/course"),
    "grade new/course --course class/course": (1, "FOLDER new/course"),
    "grade class/course/source": (1, "FOLDER class/course/source"),
    "grade empty --course class/course --trusted": (1, "FOLDER empty"),
    "grade mail/alder --course class/course --trusted": (1, "FOLDER mail/alder"),
    "grade mail": (1, "--course"),
    "grade mail --course nowhere": (1, "--course nowhere"),
    "grade mail --course notes.txt": (1, "--course notes.txt"),
    "grade mail --course empty": (1, "--course empty"),
    "grade mail --course class": (1, "--course class"),
    "grade class/course --course collected/mail": (1, "--course collected/mail"),
    "grade mail --course mail/alder": (1, "--course mail/alder"),
    "grade mail --course class/course --roster nowhere": (1, "--roster nowhere"),
    "grade mail --course class/course --roster empty": (1, "--roster empty"),
    "grade mail --course class/course --roster octets": (1, "--roster octets"),
    "grade mail --course class/course --columns nowhere": (1, "--columns nowhere"),
    "grade mail --course class/course --columns empty": (1, "--columns empty"),
    "grade mail --course class/course --out notes.txt": (1, "--out notes.txt"),
    "grade mail --course class/course --out mail/results": (1, "--out mail/results"),
    "grade mail --course class/course --gradebook book": (1, "--gradebook"),
    "grade mail --course class/course --gradebook no-such://book": (1, "--gradebook"),
    "grade mail --course class/course --trusted --again adler": (1, "--again adler"),
    "grade mail --workers 0": (2, "--workers"),
    "grade mail --workers many": (2, "--workers"),
    "grade mail --workers 2 --cluster tcp://192.0.2.1:8786": (2, "--cluster"),
    "grade mail --attempts worst": (2, "--attempts"),
    "grade mail --explain everything": (2, "--explain"),
}  # fmt: skip


@pytest.mark.parametrize("line", WRONG)
def test_the_argument_that_is_wrong_is_named(line, there, said):
    status, blamed = WRONG[line]
    before = sorted(there.rglob("*.ipynb"))
    seen, _, err = said(line)
    assert seen == status
    assert (err if status == 1 else err.partition(": ")[2].removeprefix("argument ")).startswith(
        (blamed, f"the following arguments are required: {blamed}",
         f"unrecognized arguments: {blamed}")
    )  # fmt: skip
    assert sorted(there.rglob("*.ipynb")) == before
    assert not (there / "elsewhere").exists()


@pytest.mark.parametrize(
    "line",
    [
        "grade class",
        "grade class/course --course collected/mail",
        "grade mail --course class",
        "grade class/course/source",
    ],
)
def test_the_command_that_an_error_names_does_it(line, there, said):
    _, _, err = said(line)
    status, out, _ = said(commands_in(err)[0] + " --trusted")
    assert status == 0
    assert "Next" in out


def test_release_names_the_command_that_grades(tmp_path, monkeypatch, said):
    monkeypatch.chdir(tmp_path)
    folder = "the class of a summer that was long and warm"
    status, out, _ = said(f"release '{folder}' --units {UNIT}")
    assert status == 0
    elsewhere, collected = commands_in(out)
    with open_record(tmp_path / folder / "course" / RECORD_FILE) as record:
        keep_cases(UNIT, named_course(tmp_path / folder / "course").batch.seed, record,
                   public_only())  # fmt: skip
    for student in ("alder", "clover", "dill"):
        hand_in(tmp_path / "mail", student, CLASS[student])
    assert said(elsewhere.replace("HAND-INS", "mail") + " --trusted")[0] == 0
    shutil.copytree(tmp_path / "mail", tmp_path / folder / "course" / "submitted")
    status, out, _ = said(f"{collected} --trusted --again alder")
    assert status == 0
    assert re.search(r"in another terminal.*\n    cd 'the class.*&&.*jupyter lab\n", out, re.DOTALL)
    (again,) = commands_in(out)
    assert "--again" not in again
    assert said(again)[0] == 0


def test_release_says_which_units_a_class_has_no_more(tmp_path, monkeypatch, said):
    monkeypatch.chdir(tmp_path)
    said(f"release class --units {UNIT} 02-checksums")
    _, out, _ = said(f"release class --without {UNIT}")
    assert f"No longer a part of this class: {UNIT}" in out
    assert commands_in(out)[0] == f"release class --units {UNIT}"


def test_points_of_a_dozen_units_fit_and_signs_are_explained(made):
    right = made.answer(exercise("1.1"), Outcome.RIGHT)
    for_person = made.answer(exercise("1.2"), Outcome.COULD_NOT_TELL)
    units = [f"{number:02}-a-unit-with-a-long-name" for number in range(1, 13)]
    hand_ins = [
        replace(made.hand_in(student, right, for_person), unit=unit)
        for student in ("alder", "bracken-with-an-id-as-long-as-some-upload-pages-make-them")
        for unit in units
        if (student, unit) != ("alder", units[-1])
    ]
    result = made.batch(hand_ins, [made.refused("dill.ipynb", "the file is empty", "dill")])
    text = io.StringIO()
    console = Console(file=text, width=80)
    console.print(score_table(result))
    lines = text.getvalue().splitlines()
    assert max(map(len, lines)) <= 80
    (alder,) = (line.split() for line in lines if "alder" in line)
    assert alder == ["alder", *["2?"] * 11, "–"]
    assert [line.split()[1:] for line in lines if "dill" in line] == [["×"] * 12]
    heading = next(line.split() for line in lines if "12" in line)
    assert heading == ["student", *(unit[:2] for unit in units)]
    first, *_ = score_lines(result)
    assert all(sign in first.plain for sign in "–×?")


def test_a_demo_replaces_what_a_demo_made_and_nothing_else(tmp_path, monkeypatch):
    (tmp_path / "course").mkdir()
    with pytest.raises(WrongPlaceError, match="no demo made"):
        run_demo(tmp_path, 1)
    assert (tmp_path / "course").exists()
