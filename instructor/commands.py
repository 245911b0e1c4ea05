"""The instructor's commands: `hopbyhop release`, `grade` and `demo`."""

__all__ = ["register"]

import argparse
import sys
from pathlib import Path

GRADE_DESCRIPTION = """\
Grade everything that a class handed in. Run it as often as you like: what is on record
is not run again, so after a stop, a correction or a late file it does only what is missing
or touched, and says whose points changed and why."""
GRADE_EPILOG = """\
The table for an upload page is upload.csv. Without more it has a row for each student:
the id, the points of each unit, all points, and whether something waits for a person. To
give it another shape, put a file upload.toml into the course folder (or name one with
--columns):

    delimiter = ";"              # "," or ";" or a tab; "," if left out
    decimal = ","                # "." or ","; "." if left out
    rows = "student"             # or "hand-in": a row for each workbook

    [[column]]
    title = "ID"
    holds = "student"            # or unit, points, max points, percent, penalty, waiting, text

    [[column]]
    title = "Headers"
    holds = "points"
    unit = "01-frames-and-headers"    # left out: all units together
    missing = "0"                # for those without a hand-in; left out: an empty cell

Points are the gradebook's: by machine, by hand, extra credit, less what being late costs.
Excuse somebody from an exercise by giving the points by hand there; a regrade leaves what
was given by hand. When hand-ins are due, who has longer, and what being late costs, say in
the gradebook and in nbgrader_config.py; to keep the gradebook in a database, set
c.CourseDirectory.db_url there, without a password, and the gradebook's own tools use it too.

Students read the course's library as a textbook, so some hand in parts of it. Answers that
have much in common with a function of the library are listed in library.csv and on the
summary, whatever was done to names, order and layout; that says nothing about why. They keep
their points (--library-copies look) until you choose that they earn none (no-points); then
the student reads why, and points that you give by hand in the gradebook stay. To choose for
good, put this line into nbgrader_config.py:

    c.HopByHop.library_copies = "no-points"

A later run with the other choice changes the points of such answers alone, runs nothing again,
and says whose points changed. An answer that imports the library earns nothing either way, as
the workbook tells the student at once. While it runs, an answer cannot import the library.

With --cluster, workers of other machines examine; gradebook and pages are written here as
ever. Each worker needs a checkout of this very version of the course, the same Python and
bubblewrap; it opens a sandbox and tries its walls itself, and one that does not fit is named
and gets nothing. Workers may end and others may come while grading goes on. On each machine:

    dask worker tcp://scheduler.example.com:8786 --nworkers auto --nthreads 1

Whoever can reach a scheduler can run programs on it and on all its workers, and read what
passes: keep it in a closed network, or set up TLS in Dask's own configuration. What travels is
the text of workbooks, cases and points, each under the student's id: these are student
records. Whether they may leave this machine, and for which others, your site's rules say.

The settings of a course folder are a program. So a folder is taken for one only if you name it
with --course, or if it bears the seal that `release` put on it with this account, on this
machine; never because of what lies among the hand-ins. Keep it where no student can write.

Whether a file is a workbook is told by what is in it, not by its name. Every file of a student
who has no workbook for a unit has a line that says what is needed. Of two workbooks of one time
that are not the same none is graded: leave the right one there.

What is graded may be an archive as an upload page makes it (.zip, .tar, .tar.gz), laid out as
a folder would be; in a folder, an archive is what one student handed in. Nothing is unpacked
to the disk. Files side by side say nothing about when they came that can be believed, so none
of them is late, unless there is a table handed-in.csv beside them, made from the upload
page's own report, each time with its offset from UTC:

    student,unit,time
    alder,01-frames-and-headers,2026-05-04T14:00:00+02:00

Scores and hand-ins are about persons. Use ids in place of names; keep, share and delete
them as the rules of your site and the law say; publish none of it."""


def register(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the instructor's commands to the command line."""
    _add_release(commands)
    _add_grade(commands)
    _add_demo(commands)


def _add_release(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    command = commands.add_parser(
        "release", help="make a course folder and a bundle for the students"
    )
    command.add_argument("folder", type=Path, help="where to put both")
    command.add_argument("--units", nargs="+", metavar="UNIT", help="units (default: all)")
    command.set_defaults(run=_release)


def _add_grade(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    command = commands.add_parser(
        "grade",
        help="grade everything that a class handed in",
        description=GRADE_DESCRIPTION,
        epilog=GRADE_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument(
        "folder", type=Path, help="folder or archive (.zip, .tar, .tar.gz) with what was handed in"
    )
    command.add_argument(
        "--course",
        type=Path,
        help="course folder, whose settings are run (default: the folder itself, or one beside or"
        " around it, that `release` made with this account)",
    )
    command.add_argument("--roster", type=Path, help="file with one student's id on each line")
    command.add_argument("--out", type=Path, help="where to put scores and pages")
    command.add_argument(
        "--trusted", action="store_true", help="go on without a sandbox: answers run as you"
    )
    command.add_argument(
        "--attempts",
        choices=("last", "best"),
        default="last",
        help="of several files of one student for a unit, the last or the best one counts",
    )
    command.add_argument(
        "--gradebook",
        default="",
        metavar="URL",
        help="gradebook to write, such as postgresql://staff@db.example.com/book"
        " (default: the one that the course folder names)",
    )
    command.add_argument("--columns", type=Path, help="file that says how upload.csv looks")
    command.add_argument(
        "--library-copies",
        choices=("look", "no-points"),
        help="what an answer earns that is a copy of the library's own code: what its values are"
        " worth, or nothing (default: as the course folder says, else look); both list it",
    )
    command.add_argument(
        "--again",
        nargs="+",
        default=[],
        metavar="STUDENT",
        help="run the answers of these students again, whatever is on record",
    )
    where = command.add_mutually_exclusive_group()
    where.add_argument(
        "--workers",
        type=_at_least_one,
        metavar="N",
        help="processes that examine hand-ins at the same time (default: one for each processor)",
    )
    where.add_argument(
        "--cluster",
        default="",
        metavar="ADDRESS",
        help="examine on the workers of a Dask cluster: the address of its scheduler, such as"
        " tcp://scheduler.example.com:8786",
    )
    command.set_defaults(run=_grade)


def _add_demo(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    command = commands.add_parser(
        "demo", help="release, let an invented class hand in, grade it, and report"
    )
    command.add_argument("folder", nargs="?", type=Path, default=Path(".output/demo"))
    command.add_argument("--seed", type=int, default=1, help="another number, another class")
    command.set_defaults(run=_demo)


def _at_least_one(text: str) -> int:
    number = int(text)
    if number < 1:
        raise argparse.ArgumentTypeError("at least one hand-in at a time")
    return number


def _release(chosen: argparse.Namespace) -> int:
    from instructor.release.course_folder import CourseFolderError
    from instructor.release.make import make_release

    try:
        made = make_release(chosen.folder, chosen.units)
    except (CourseFolderError, FileNotFoundError) as problem:
        print(problem, file=sys.stderr)
        return 1
    print(f"For the students:    {made.bundle}")
    print(f"For the staff alone: {made.course} (answers, secret seed, gradebook)")
    return 0


def _grade(chosen: argparse.Namespace) -> int:
    from instructor.class_run.grade_class import Choices, grade_class
    from instructor.class_run.stopping import STOPPED_STATUS, GradingStoppedError
    from instructor.grading.pages.upload_table import UploadShapeError
    from instructor.grading.record.record import RecordError
    from instructor.grading.sandbox.sandboxed_run import GradingRefusedError
    from instructor.release.course_folder import CourseFolderError

    choices = Choices(
        gradebook=chosen.gradebook,
        attempts=chosen.attempts,
        workers=chosen.workers,
        again=tuple(chosen.again),
        columns=chosen.columns,
        library_copies=chosen.library_copies,
        cluster=chosen.cluster,
    )
    try:
        grade_class(
            chosen.folder,
            course=chosen.course,
            out=chosen.out,
            roster=chosen.roster,
            trusted=chosen.trusted,
            choices=choices,
        )
    except GradingStoppedError as stopped:
        print(stopped, file=sys.stderr)
        return stopped.status
    except KeyboardInterrupt:
        print("Stopped before anything was graded.", file=sys.stderr)
        return STOPPED_STATUS
    except (
        CourseFolderError,
        FileNotFoundError,
        GradingRefusedError,
        RecordError,
        UploadShapeError,
    ) as problem:
        print(problem, file=sys.stderr)
        return 1
    return 0


def _demo(chosen: argparse.Namespace) -> int:
    from instructor.demo.run import run_demo

    return run_demo(chosen.folder, chosen.seed)
