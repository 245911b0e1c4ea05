"""From collected sheets to pages and tables, and what is said of it on a terminal."""

__all__ = ["said", "write_what_was_read"]

from pathlib import Path

from instructor.output.pages import count
from instructor.output.private import private
from instructor.questions.collected_sheets import Collected
from instructor.questions.concept_results import concept_results
from instructor.questions.sheet_pages import write_concept_page, write_survey_page
from instructor.questions.sheets_csv import write_concept_tables, write_survey_table
from instructor.questions.survey_results import survey_results
from instructor.reporting.class_report import SMALLEST_GROUP


def write_what_was_read(out: Path, collected: Collected) -> tuple[Path, ...]:
    """Write a page and tables for the test, and for the survey, if anybody did it."""
    pages = []
    with private(out):
        out.mkdir(parents=True, exist_ok=True)
        if collected.before or collected.after:
            found = concept_results(collected.before, collected.after)
            write_concept_tables(out, found)
            pages.append(write_concept_page(out, found))
        if collected.survey:
            said_of = survey_results(collected.survey)
            write_survey_table(out, said_of)
            pages.append(write_survey_page(out, said_of))
    return tuple(pages)


def said(collected: Collected, pages: tuple[Path, ...]) -> str:
    """Say how many sheets there were, and what to read next."""
    before, after = len(collected.before), len(collected.after)
    lines = [
        f"Questions before the course: {count(before, 'sheet')}; after it: {count(after, 'sheet')};"
        f" both: {len(collected.before.keys() & collected.after.keys())}.",
        f"Exit survey: {count(len(collected.survey), 'sheet')}.",
    ]
    if max(before, after, len(collected.survey)) < SMALLEST_GROUP:
        lines.append(f"No figures: they need {SMALLEST_GROUP} sheets of a kind.")
    rows = "\n".join(f"    {page}" for page in pages)
    return "\n".join([*lines, f"Next: read\n{rows}"]).replace("\N{NO-BREAK SPACE}", " ")
