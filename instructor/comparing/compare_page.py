"""The comparison of two classes as a page without names, and as tables.

`compare.csv` has one row for each figure that both classes have: `kind`, `name`, `what`, the figure
and its interval in both (`last`, `last_low`, ...), the difference (`by`, ...), `better` (yes, no),
`chance` and `sure` (yes, no). `to-change.csv` has what to change: `what`, `seen`, `do`, `strength`.
"""

__all__ = ["verdict_of", "write_comparison"]

from collections.abc import Sequence
from pathlib import Path

from markupsafe import Markup

from course_lib.exercises.whole_file import write_whole
from instructor.comparing.changes import Change
from instructor.comparing.to_change import Finding
from instructor.output.pages import count, percent, render_page
from instructor.output.private import private
from instructor.output.tables import write_table
from instructor.reporting import pictures
from instructor.reporting.intervals import Estimate
from instructor.reporting.report_pages import TEMPLATE as REPORT

TEMPLATE = Path(__file__).parent / "templates" / "compare.html"
ENDS = ("", "_low", "_high")
COLUMNS = (
    "kind", "name", "what", *(f"{part}{end}" for part in ("last", "this", "by") for end in ENDS),
    "better", "chance", "sure",
)  # fmt: skip
FINDINGS, UNSURE = 12, 12  # that are not folded
RANGE = ("−100", "", "0", "", "100 %")


def write_comparison(out: Path, changed: Sequence[Change], findings: Sequence[Finding]) -> Path:
    """Write page and tables into a folder; return the page's path."""
    path = out / "compare.html"
    with private(out):
        out.mkdir(parents=True, exist_ok=True)
        write_table(out / "compare.csv", COLUMNS, map(_row, changed))
        write_table(
            out / "to-change.csv", ("what", "seen", "do", "strength"),
            ((one.what, one.seen, one.do, f"{one.strength:.4f}") for one in findings),
        )  # fmt: skip
        write_whole(path, _page(changed, findings))
    return path


def verdict_of(changed: Sequence[Change]) -> str:
    """Say in a sentence or two how the classes compare."""
    if not changed:
        return "The two classes have no figure in common: one of them is too small, or did others."
    better = sum(one.is_sure and one.better > 0 for one in changed)
    worse = sum(one.is_sure and one.better < 0 for one in changed)
    gain = next((one for one in changed if one.kind == "gain"), None)
    text = (
        f"Of {count(len(changed), 'figure')} that both classes have, {better or 'none'} surely got "
        f"better and {worse or 'none'} surely got worse; all others may differ by chance."
    )
    if gain is None:
        return text
    return (
        f"{text} The gain of the concept test: {gain.last.share:.2f}, then {gain.this.share:.2f}."
    )


def _page(changed: Sequence[Change], findings: Sequence[Finding]) -> str:
    sure = [one for one in changed if one.is_sure]
    unsure = [one for one in changed if not one.is_sure]
    return render_page(
        TEMPLATE, like=REPORT, verdict=verdict_of(changed),
        parts=(
            ("better", "What got better", [one for one in sure if one.better > 0]),
            ("worse", "What got worse", [one for one in sure if one.better < 0]),
        ),
        unsure=(unsure[:UNSURE], unsure[UNSURE:]),
        findings=(findings[:FINDINGS], findings[FINDINGS:]),
        picture=_picture, in_words=_in_words, figure=_figure, about=_about, pictures=pictures,
        range_scale=pictures.scale(RANGE, "Scale from −100 to 100 %"),
    )  # fmt: skip


def _picture(one: Change) -> Markup:
    """Draw a difference on a scale whose middle is none."""
    places = Estimate(*((1 + max(-1.0, min(1.0, part))) / 2 for part in one.by))
    return pictures.interval_picture(places, _in_words(one))


def _in_words(one: Change) -> str:
    ends = [_signed(part) for part in one.by]
    return f"{ends[0]} ({ends[1]} to {ends[2]})"


def _about(one: Change) -> str:
    """Say what kind of figure it is, and of which exercise; a question is known by its words."""
    of = one.name.partition(" ")[0] if one.kind in ("belief", "exercise") else ""
    return f"{one.kind} {of}".rstrip()


def _figure(share: Estimate, one: Change) -> str:
    return f"{share.share:.2f}" if one.kind == "gain" else percent(share.share)


def _signed(part: float) -> str:
    points = round(100 * part)
    return f"{points:+}".replace("-", "\N{MINUS SIGN}") if points else "0"


def _row(one: Change) -> tuple[str, ...]:
    parts = (one.last, one.this, one.by)
    return (
        one.kind, one.name, one.what, *(f"{value:.4f}" for part in parts for value in part),
        "yes" if one.better > 0 else "no", f"{one.chance:.4f}", "yes" if one.is_sure else "no",
    )  # fmt: skip
