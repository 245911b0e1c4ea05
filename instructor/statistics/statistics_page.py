"""The statistics of a class as a page without names, to look at, print and show to colleagues."""

__all__ = ["statistics_page", "write_statistics"]

from collections.abc import Sequence
from pathlib import Path

from markupsafe import Markup

from course_lib.exercises.progress import Progress
from course_lib.exercises.whole_file import write_whole
from instructor.grading.marked import BatchResult
from instructor.output.pages import render_page
from instructor.reporting import pictures, words
from instructor.reporting.class_report import SMALLEST_GROUP, class_report
from instructor.reporting.intervals import Estimate
from instructor.reporting.report_pages import TEMPLATE as REPORT
from instructor.reporting.shared_ideas import SHARED_BY, Idea, ideas
from instructor.statistics import statistics_words
from instructor.statistics.apart_picture import apart_picture, apart_sentence
from instructor.statistics.discrimination import Correlation
from instructor.statistics.exercise_statistics import (
    ClassStatistics,
    Judgement,
    class_statistics,
)
from instructor.statistics.statistics_csv import write_statistics_tables
from instructor.statistics.time_at_work import TimeAtWork, time_at_work
from instructor.statistics.unit_hand_ins import UnitHandIns
from instructor.statistics.unnamed_answers import UnnamedGroup, unnamed_groups

TEMPLATE = Path(__file__).parent / "templates" / "statistics.html"
IDEAS = 12  # that are not folded
OFFERED = 6  # groups of answers without a name that are shown with an example
RANGE = ("−1", "", "0", "", "1")


def write_statistics(
    folder: Path, result: BatchResult, hand_ins: Sequence[UnitHandIns] = (),
    progress: Sequence[Progress] = (),
) -> Path:  # fmt: skip
    """Write the page and its tables into `folder`; return the page's path.

    `progress` is that of people who handed it over.
    """
    folder.mkdir(parents=True, exist_ok=True)
    found = class_statistics(result, hand_ins)
    unnamed = unnamed_groups(result)
    at_work = time_at_work(progress)
    write_statistics_tables(folder, found, unnamed, at_work)
    path = folder / "statistics.html"
    ranked = [one for one in ideas(class_report(result)) if one.share is not None]
    write_whole(path, statistics_page(found, unnamed, ranked, at_work))
    return path


def statistics_page(
    found: ClassStatistics, unnamed: Sequence[UnnamedGroup], ranked: Sequence[Idea],
    at_work: Sequence[TimeAtWork] = (),
) -> str:  # fmt: skip
    """Return the page; `ranked` is what the class misunderstood, the most shared first."""
    shared = [one for one in ranked if len(one.who) >= SHARED_BY]
    look = [one for one in found.exercises if one.judgement.needs_a_look]
    alike = [(each, [one for one in look if one.judgement is each]) for each in Judgement]
    return render_page(
        TEMPLATE,
        like=REPORT,
        found=found,
        verdict=statistics_words.verdict_of(found),
        look=look,
        look_alike=[(each, together) for each, together in alike if together],
        has_figures=any(one.difficulty for one in found.exercises),
        picture=apart_picture(found.exercises),
        sentence=apart_sentence(found.exercises),
        range_scale=pictures.scale(RANGE, "Scale from −1 to 1"),
        share_picture=_share_picture,
        apart=_correlation_picture,
        shared=(shared[:IDEAS], shared[IDEAS:]),
        at_work=at_work,
        unnamed=(unnamed[:OFFERED], unnamed[OFFERED:]),
        smallest_group=SMALLEST_GROUP,
        shared_by=SHARED_BY,
        pictures=pictures,
        words=words,
        said=statistics_words,
    )


def _share_picture(share: Estimate) -> Markup:
    return pictures.interval_picture(share, words.in_words(share))


def _correlation_picture(found: Correlation) -> Markup:
    """Draw a correlation on a scale whose middle is 0."""
    places = Estimate(*((1 + max(-1.0, min(1.0, one))) / 2 for one in found[:3]))
    return pictures.interval_picture(places, statistics_words.correlation_in_words(found))
