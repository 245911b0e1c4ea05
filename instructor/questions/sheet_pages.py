"""Concept test and exit survey as pages without names, to look at, print and show."""

__all__ = ["write_concept_page", "write_survey_page"]

from pathlib import Path

from markupsafe import Markup

from course_lib.exercises.feedback import misconception_title
from course_lib.exercises.whole_file import write_whole
from instructor.output.pages import count, percent, render_page
from instructor.questions import gain as gains
from instructor.questions.concept_results import ConceptResults
from instructor.questions.survey_bank import survey
from instructor.questions.survey_results import MOST, StatementResult, SurveyResults
from instructor.reporting import pictures, words
from instructor.reporting.class_report import SMALLEST_GROUP
from instructor.reporting.intervals import Estimate
from instructor.reporting.report_pages import TEMPLATE as REPORT
from instructor.statistics import statistics_words

CONCEPT = Path(__file__).parent / "templates" / "concept-test.html"
SURVEY = Path(__file__).parent / "templates" / "exit-survey.html"
BELIEFS = 15  # that are not folded
LEVEL_PATTERNS = ("right", "partly", "none", "wrong", "stopped")  # from full agreement down


def write_concept_page(folder: Path, found: ConceptResults) -> Path:
    """Write the page of the concept test; return its path."""
    path = folder / "concept-test.html"
    page = render_page(
        CONCEPT, like=REPORT, found=found, verdict=_gain_in_words(found), gains=gains,
        beliefs=(found.beliefs[:BELIEFS], found.beliefs[BELIEFS:]), title=misconception_title,
        share_picture=_share_picture, smallest_group=SMALLEST_GROUP, pictures=pictures,
        words=words, said=statistics_words,
    )  # fmt: skip
    write_whole(path, page)
    return path


def write_survey_page(folder: Path, found: SurveyResults) -> Path:
    """Write the page of the exit survey; return its path."""
    path = folder / "exit-survey.html"
    asked = survey()
    parts = [
        (title, [one for one in found.statements if one.statement.part == part])
        for part, title in asked.titles.items()
    ]
    page = render_page(
        SURVEY, like=REPORT, found=found, parts=parts, scale=asked.scale,
        keys=list(zip(LEVEL_PATTERNS, reversed(asked.scale), strict=True)),
        level_picture=_level_picture, score_picture=_score_picture(found),
        smallest_group=SMALLEST_GROUP, pictures=pictures, words=words,
    )  # fmt: skip
    write_whole(path, page)
    return path


def _gain_in_words(found: ConceptResults) -> str:
    gain = found.gain
    if gain is None:
        return (
            f"No gain can be told: {count(found.both, 'student')} did both tests, and a figure "
            f"needs {SMALLEST_GROUP} who could still learn something."
        )
    interval = f"{statistics_words.plain(gain.low)} to {statistics_words.plain(gain.high)}"
    bands = sorted({gains.band(gain.low), gains.band(gain.high)})
    sure = "" if len(bands) == 1 else f"; by its interval it may be {' or '.join(bands)}, too"
    return (
        f"Of what these {count(gain.students, 'student')} could still learn, they have learnt "
        f"{percent(gain.gain)}: a {gains.band(gain.gain)} gain of "
        f"{statistics_words.plain(gain.gain)} ({interval}){sure}. Right before: "
        f"{percent(gain.before)}, after: {percent(gain.after)}."
    )


def _share_picture(share: Estimate) -> Markup:
    return pictures.interval_picture(share, words.in_words(share))


def _level_picture(one: StatementResult) -> Markup:
    levels = list(zip(survey().scale, one.counts, strict=True))[::-1]
    sentence = ", ".join(f"{level} {many}" for level, many in levels if many)
    return pictures.outcome_picture([many for _, many in levels], sentence, LEVEL_PATTERNS)


def _score_picture(found: SurveyResults) -> Markup:
    score = found.usability
    if score is None:
        return Markup("")
    places = Estimate(*(part / MOST for part in (score.mean, score.low, score.high)))
    return pictures.interval_picture(
        places, f"{score.mean:.0f} of 100, from {score.low:.0f} to {score.high:.0f}"
    )
