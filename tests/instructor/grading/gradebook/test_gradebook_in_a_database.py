"""The gradebook may be a PostgreSQL database: one on a real server holds what the file would."""

from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

from classes.gradebook_dump import book_of, contents, dump
from classes.graded_class import CLASS, copy_of, public_only, with_class, with_mistake
from course_lib.cli import main
from hand_ins.hand_in_files import UNIT
from instructor.class_run import resumable
from instructor.grading.gradebook import writer as module
from instructor.release.course_folder import CONFIG_FILE
from instructor.release.gradebook_tools import database_url
from machines.postgres_server import find_server, running_server

pytestmark = pytest.mark.usefixtures("walls_tried_once")

GRADED = set(CLASS) - {"dill"}  # whose file is empty


@pytest.fixture(scope="module")
def server(need):
    with running_server(find_server(need)) as url:
        yield url


@pytest.fixture
def database(server):
    """Give the address of an empty database."""
    engine = create_engine(database_url(server))
    with engine.begin() as connection:
        connection.execute(text("DROP SCHEMA public CASCADE"))
        connection.execute(text("CREATE SCHEMA public"))
    engine.dispose()
    return server


@pytest.fixture
def course(bare_course, tmp_path):
    return with_class(copy_of(bare_course, tmp_path))


def grade(course, *more):
    return main(["grade", str(course), "--trusted", *more])


def test_a_database_holds_what_the_file_would(course, database):
    assert grade(course) == 0
    results = contents(course / "results")
    assert grade(course, "--gradebook", database) == 0
    assert dump(database) == dump(book_of(course))
    assert contents(course / "results") == results


def test_the_settings_of_the_course_folder_name_the_database_too(course, database):
    with (course / CONFIG_FILE).open("a") as config:
        config.write(f"c.CourseDirectory.db_url = {database_url(database)!r}\n")
    before = dump(book_of(course))
    assert grade(course) == 0
    assert {row[1] for row in dump(database)} == GRADED
    assert dump(book_of(course)) == before


def test_a_regrade_and_points_by_hand_live_in_the_database(course, database, monkeypatch):
    wrong = with_mistake(public_only())
    with monkeypatch.context() as patch:
        patch.setattr(resumable, "class_cases", lambda unit, seed, record: wrong)
        assert grade(course, "--gradebook", database) == 0
    with module.open_gradebook(database) as book:
        one = book.find_grade("explain-1", UNIT, UNIT, "bracken")
        one.manual_score, one.needs_manual_grade = 1.0, False
        book.db.commit()
    assert grade(course, "--gradebook", database) == 0
    with module.open_gradebook(database) as book:
        assert book.find_grade("mark-1-1", UNIT, UNIT, "alder").auto_score == 2.0
        assert book.find_grade("explain-1", UNIT, UNIT, "bracken").manual_score == 1.0


def test_a_hand_in_is_in_the_database_whole_or_not_at_all(course, database, monkeypatch):
    real = module.enter_new

    def fails_for_elder(book, unit, student, *rest):
        key = real(book, unit, student, *rest)
        if student == "elder":
            raise KeyboardInterrupt
        return key

    with monkeypatch.context() as patch:
        patch.setattr(module, "enter_new", fails_for_elder)
        assert grade(course, "--gradebook", database, "--workers", "1") == 130
    assert "elder" not in {row[1] for row in dump(database)}
    assert grade(course, "--gradebook", database) == 0
    assert {row[1] for row in dump(database)} == GRADED


def test_who_is_forgotten_is_found_no_more_in_the_database_nor_in_its_files(course, database):
    """The canary stands in a comment; what was deleted stays in a table's file until it is
    written anew (PostgreSQL documentation, "VACUUM")."""
    with (course / CONFIG_FILE).open("a") as config:
        config.write(f"c.CourseDirectory.db_url = {database_url(database)!r}\n")
    assert grade(course) == 0
    with module.open_gradebook(database) as book:
        for student in ("alder", "bracken"):
            comment = book.find_comment("explain-1", UNIT, UNIT, student)
            comment.manual_comment = f"zanzibar of {student}"
        book.db.commit()
    others = [row for row in dump(database) if row[1] != "alder"]
    words = ("alder", "zanzibar of alder", "zanzibar of bracken")
    assert in_files(database, words) == set(words)
    assert main(["forget", str(course), "alder", "--yes"]) == 0
    assert in_files(database, words) == {"zanzibar of bracken"}
    assert dump(database) == others
    assert main(["forget", str(course), "--all", "--yes"]) == 0
    assert in_files(database, (*GRADED, *words)) == set()
    assert dump(database) == []


def in_files(database, words):
    """Return which of these words stand in the files of the server's tables."""
    engine = create_engine(database_url(database), isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(
            text("CHECKPOINT")
        )  # until then the files may be behind, or be there yet
        folder = connection.execute(text("SHOW data_directory")).scalar_one()
    engine.dispose()
    octets = [path.read_bytes() for path in (Path(folder) / "base").rglob("*") if path.is_file()]
    return {one for one in words if any(one.encode() in each for each in octets)}


def test_a_database_that_is_not_there_is_named_without_its_password(course, capsys):
    nowhere = "postgresql://staff:secret-word@/book?host=/nowhere"
    assert grade(course, "--gradebook", nowhere) == 1
    said = capsys.readouterr()
    assert "The gradebook cannot be used" in said.err
    assert "run the same command again" in said.err
    assert "secret-word" not in said.err + said.out
