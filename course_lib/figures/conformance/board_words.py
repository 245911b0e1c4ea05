"""The words of a board: title, all of it as text, and what is read out."""

__all__ = ["board_words", "by_standard", "count_words"]

from course_lib.conformance.board import Board, Outcome, Result
from course_lib.figures.drawing.svg import Words

SIGNS = {
    Outcome.PASSED: "✓",
    Outcome.FAILED: "✗",
    Outcome.NOT_REACHED: "–",
    Outcome.NOT_TRIED: "○",
}


def by_standard(board: Board) -> dict[str, list[Result]]:
    """Return the results of each standard, in the order of their numbers; extras behind."""
    standards = sorted({each.scenario.standard for each in board.results}, key=_number)
    found = {
        standard: [each for each in board.results if each.scenario.standard == standard]
        for standard in standards
    }
    return {name: sorted(each, key=lambda one: not one.scenario.is_core)
            for name, each in found.items()}  # fmt: skip


def _number(standard: str) -> int:
    return int(standard.rpartition(" ")[2])


def count_words(board: Board) -> str:
    """Return how many clauses have which outcome; outcomes that none has are left out."""
    counts = [f"{count} {outcome}" for outcome, count in board.counts().items() if count]
    return ", ".join(counts) or "no clauses"


def board_words(board: Board, shown: Result | None) -> Words:
    """Return the words of a board on which one clause is shown."""
    title = f"{len(board.results)} clauses: {count_words(board)}"
    core, extras = board.core, board.extras
    spoken = [
        f"Of {len(core.results)} clauses for every router: {count_words(core)}. "
        f"Of {len(extras.results)} that a router may leave out: {count_words(extras)}."
    ]
    spoken += [
        f"{name}: {count_words(Board(tuple(results)))}."
        for name, results in by_standard(board).items()
    ]
    if shown is not None:
        spoken.append(f"Shown is “{shown.scenario.name}”: {shown.outcome}.")
    return Words(title, _text(board, shown, title), " ".join(spoken))


def _text(board: Board, shown: Result | None, title: str) -> str:
    core, extras = board.core, board.extras
    lines = [title, f"for every router, {len(core.results)}: {count_words(core)}"]
    lines.append(f"may be left out, {len(extras.results)}: {count_words(extras)}")
    for name, results in by_standard(board).items():
        lines += ["", f"{name}: {count_words(Board(tuple(results)))}"]
        lines += [_row(each) for each in results]
    if shown is not None:
        lines += ["", "Shown:", *shown.lines()]
    return "\n".join(lines)


def _row(result: Result) -> str:
    scenario = result.scenario
    extra = "" if scenario.is_core else ", extra"
    sign = SIGNS[result.outcome]
    return f"  {sign} {result.outcome:<11} {scenario.name} ({scenario.section}{extra})"
