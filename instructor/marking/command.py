"""`hopbyhop mark-words`: open the pages for answers in words, until they are stopped."""

__all__ = ["register"]

import argparse
import sys
import webbrowser

from course_lib.commands.parser import Commands, begin_command
from course_lib.commands.terminal_words import say
from instructor.release.course_command import add_course, told

TOLD = """\
Mark the answers in words of a graded class on a page of this machine alone.
Ids are hidden, answers that are alike come together, and the rubric is beside
them. A second marker, named by another --as, sees nothing of the first one's
points before giving some; where they differ, both settle it.

    hopbyhop mark-words class-2027/course --as rowan"""


def register(commands: Commands) -> None:
    """Add the command to the command line."""
    usual, rare = begin_command(
        commands, "mark-words", "mark answers in words on a local page, without names", _run,
        usage="hopbyhop mark-words COURSE [--as NAME] [...]", description=TOLD,
    )  # fmt: skip
    add_course(usual, "course folder, graded")
    usual.add_argument(
        "--as", dest="marker", default="first marker", metavar="NAME",
        help="who marks, in your own words (default: first marker)",
    )  # fmt: skip
    rare.add_argument("--gradebook", default="", metavar="URL", help="another one to write")
    rare.add_argument("--no-browser", action="store_true", help="only print the address")


def _run(chosen: argparse.Namespace) -> int:
    marker = chosen.marker.strip()
    if not marker or not marker.isprintable():
        say("--as: name yourself by a word, such as --as rowan.", sys.stderr)
        return 1
    return told(lambda: _serve(chosen, marker))


def _serve(chosen: argparse.Namespace, marker: str) -> None:
    from instructor.marking.marks import open_marks
    from instructor.marking.page_server import serve
    from instructor.marking.reading import Reading
    from instructor.release.course_folder import gradebook_url, named_course

    course = named_course(chosen.course)
    with open_marks(course.path) as store:
        reading = Reading(course, chosen.gradebook or gradebook_url(course), marker, store)

        def announce(address: str) -> None:
            texts = sum(len(every) for every in reading.entries.values())
            say(f"Texts to read: {texts}. Open on this machine:")
            print(f"    {address}", flush=True)
            say("Every mark is safe as soon as it is saved. Stop with Ctrl-C.")
            if not chosen.no_browser:
                webbrowser.open(address)

        serve(reading, announce)
