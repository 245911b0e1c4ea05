"""Limits are tried once for each start of the machine; what keeps things out, every time."""

import pytest

from instructor.grading.sandbox import known_limits, sandboxed_run
from instructor.grading.sandbox.probe import Wall
from instructor.grading.sandbox.sandbox import Sandbox

WARM = Sandbox("warm", lambda: None, "a warm one")
NETWORK = Wall("the network", True, "", True)
LIMIT = Wall("printed octets", False, "as much as you like", False)


@pytest.fixture
def tried(monkeypatch):
    """Note what is tried, with walls that stand in for real ones."""
    asked = []

    def probe(sandbox, *, limits=True):
        asked.append(limits)
        return (NETWORK, LIMIT) if limits else (NETWORK,)

    monkeypatch.setattr(sandboxed_run, "probe", probe)
    return asked


def test_a_second_run_says_the_same_and_tries_only_what_keeps_things_out(tried, tmp_path):
    first, second = (sandboxed_run.look_at(WARM, tmp_path / "limits.json") for _ in range(2))
    assert first == second
    assert first.lines[-1] == "NOT enforced: printed octets (as much as you like)."
    assert tried == [True, False]


@pytest.mark.parametrize("changed", ["START", "MADE_FROM"])
def test_after_a_new_start_or_another_sandbox_limits_are_tried_again(
    tried, tmp_path, monkeypatch, changed
):
    start = tmp_path / "boot_id"
    start.write_text("another start")
    sandboxed_run.look_at(WARM, tmp_path / "limits.json")
    other = start if changed == "START" else ("course_lib/runner/*.py",)
    monkeypatch.setattr(known_limits, changed, other)
    sandboxed_run.look_at(WARM, tmp_path / "limits.json")
    assert tried == [True, True]


@pytest.mark.parametrize(
    "text", ["", "{", "[]", '{"found_on": 1}', '{"found_on": [], "limits": 3}']
)
def test_a_file_that_is_not_ours_counts_for_nothing(tried, tmp_path, text):
    (tmp_path / "limits.json").write_text(text)
    sandboxed_run.look_at(WARM, tmp_path / "limits.json")
    assert tried == [True]
    assert (tmp_path / "limits.json").stat().st_mode & 0o077 == 0
