"""Words fit the terminal, and a command that was cut is still the command."""

import shlex
import subprocess

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.commands.terminal_words import columns, folded, to_type

PATH = "a/long/way/down/to/where/somebody/keeps/what/a/class/handed/in/this/year/of/all/places"


@pytest.mark.parametrize(("terminal", "used"), [("60", 60), ("80", 80), ("200", 80), ("5", 40)])
def test_texts_are_as_wide_as_the_terminal_up_to_eighty(terminal, used, monkeypatch):
    monkeypatch.setenv("COLUMNS", terminal)
    assert columns() == used
    text = folded(f"Some words, and some more of them, before {PATH} and after it. " * 3)
    assert max(map(len, text.splitlines())) <= used


def test_a_path_that_fits_no_line_is_cut_behind_a_slash(monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    first, second = folded(PATH).splitlines()
    assert first.endswith("/")
    assert first + second == PATH


def test_a_line_that_is_moved_in_stays_as_it_is():
    line = "    " + "x " * 60
    assert folded(f"Type\n{line}") == f"Type\n{line}"


@given(
    st.lists(
        st.text(st.characters(codec="ascii", categories=("L", "N", "P", "Zs")), max_size=120),
        min_size=1,
        max_size=6,
    )
)
def test_a_shell_reads_the_very_words_of_a_command_that_was_cut(words):
    words = [word for word in words if word != "&&"]
    text = to_type("hopbyhop", *words)
    assert max(map(len, text.splitlines())) <= 80
    assert shlex.split(text.replace("\\\n", "")) == ["hopbyhop", *words]


def test_a_real_shell_reads_a_command_that_was_cut(tmp_path, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    command = to_type("cd", tmp_path, "&&", "printf", "%s\\n", f"it's/{PATH}/{PATH}", "a b", "last")
    assert len(command.splitlines()) > 2
    done = subprocess.run(["/bin/sh", "-c", command], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines() == [f"it's/{PATH}/{PATH}", "a b", "last"]
