"""What is said of a decision: what differs, whose points change, how it is confirmed."""

__all__ = ["say_points", "shown_and_confirmed"]

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from rich.console import Console

from course_lib.commands.terminal_words import columns, folded, say, this_command, to_type
from instructor.administration.decision_log import note_decisions
from instructor.administration.standing import PointsMoved, moved_in_words, moved_table
from instructor.deadlines.rule_changes import RuleChange
from instructor.output.text import visible

MANY = 4  # students decided about alike are counted, and then named


def shown_and_confirmed(
    course: Path, changes: Sequence[RuleChange], points: Sequence[PointsMoved],
    typed: Sequence[str], make_it_count: Callable[[], None] | None,
) -> bool:  # fmt: skip
    """Show a change with whose points it changes; make it count and note it, if that is asked for.

    Return whether it counts now; if not, it is said what to type.
    """
    _say_changes(changes)
    say_points(points)
    if make_it_count is None:
        say("Nothing has been changed yet. To make it count, type\n"
            + to_type(this_command(), *typed, "--confirm"))  # fmt: skip
        return False
    make_it_count()
    note_decisions(course, changes, moved_in_words(points))
    return True


def _say_changes(changes: Iterable[RuleChange]) -> None:
    """Print a line for each decision, and one for all who are decided about alike."""
    alike: dict[RuleChange, list[str]] = {}
    for one in changes:
        alike.setdefault(one._replace(student=""), []).append(one.student)
    for one, students in alike.items():
        who = " ".join(students) if len(students) < MANY else f"{len(students)} students"
        whose = " ".join(part for part in (who, one.unit) if part)
        start = f"{one.what}{f', {whose}' if whose else ''}"
        why = f" ({one.why})" if one.why else ""
        print(folded(visible(f"{start}: {one.before} -> {one.after}{why}"), hang="  "))
        if len(students) >= MANY:
            print(folded(visible(f"  {' '.join(students)}"), hang="  "))


def say_points(changes: Sequence[PointsMoved]) -> None:
    """Print whose points change, and by how much."""
    if changes:
        Console(width=columns(), highlight=False).print(moved_table(changes))
    say(f"In all, {moved_in_words(changes)}.")
