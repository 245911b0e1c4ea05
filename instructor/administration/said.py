"""What is said of a decision: what differs, whose points change, how it is confirmed."""

__all__ = ["say_changes", "say_how_to_confirm", "say_points"]

from collections.abc import Iterable, Sequence

from rich.console import Console

from course_lib.commands.terminal_words import columns, folded, say, this_command, to_type
from instructor.administration.standing import PointsMoved, moved_in_words, moved_table
from instructor.deadlines.rule_changes import RuleChange
from instructor.output.text import visible


def say_changes(changes: Iterable[RuleChange]) -> None:
    """Print a line for each decision."""
    for one in changes:
        whose = " ".join(part for part in (one.student, one.unit) if part)
        start = f"{one.what}{f', {whose}' if whose else ''}"
        why = f" ({one.why})" if one.why else ""
        print(folded(visible(f"{start}: {one.before} -> {one.after}{why}"), hang="  "))


def say_points(changes: Sequence[PointsMoved]) -> None:
    """Print whose points change, and by how much."""
    if changes:
        Console(width=columns(), highlight=False).print(moved_table(changes))
    say(f"In all, {moved_in_words(changes)}.")


def say_how_to_confirm(typed: Sequence[str]) -> None:
    """Say that nothing counts yet, and what to type so that it does."""
    say("Nothing has been changed yet. To make it count, type\n"
        + to_type(this_command(), *typed, "--confirm"))  # fmt: skip
