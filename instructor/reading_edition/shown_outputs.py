"""What the cells of a workbook show when it is run as a student gets it, without any answer.

A live figure shows its still picture, made by the same functions. What is not run: checks, hints
and progress, which speak of answers; and real packets, which need a machine of one's own and leave
to use it. A cell that needs an answer from above shows nothing, and the page says so.
"""

__all__ = ["NEEDS_AN_ANSWER", "Picture", "Shown", "shown_by"]

import copy
import os
import re
import tempfile
from collections.abc import Iterator, Mapping
from html import unescape
from pathlib import Path
from typing import Any, NamedTuple

from nbclient import NotebookClient
from nbformat import NotebookNode
from traitlets.config import Config

from course_lib.exercises.progress import BUNDLE_MARK
from instructor.release.workbook_files import grade_name

READY_S = 3600  # a kernel on a machine with much else to do
NEEDS_AN_ANSWER = "What comes here hangs on your own answers: run the cell in the workbook."
NOT_RUN = re.compile(r"\b(mark|hint|show_progress|show_control_page|watch_conformance)\(")
REAL_PACKETS = re.compile(r"## (\d+\. )?Real packets", re.MULTILINE)
SECTION = re.compile(r"## ", re.MULTILINE)
PICTURE = re.compile(r"<svg .*?</svg>", re.DOTALL)
SPOKEN = re.compile(r'<svg [^>]*?aria-label="([^"]*)"', re.DOTALL)
TOUCH_HINT = "\nTo touch this figure, run the cell."


class Picture(NamedTuple):
    """A still picture, what it shows in a sentence, and the same as text."""

    svg: str
    spoken: str
    text: str


Shown = str | Picture


def shown_by(workbook: NotebookNode) -> Mapping[str, tuple[Shown, ...]]:
    """Run a workbook in a fresh kernel; return what each code cell shows, by its id."""
    run = copy.deepcopy(workbook)
    skipped = set(_skipped(run))
    run.cells = [cell for cell in run.cells if cell.id not in skipped]
    with tempfile.TemporaryDirectory() as space:
        (Path(space) / BUNDLE_MARK).touch()
        place = {"metadata": {"path": space}}
        NotebookClient(
            run, timeout=None, startup_timeout=READY_S, kernel_name="python3", resources=place,
            allow_errors=True, config=_only_here(Path(space)),
        ).execute()  # fmt: skip
    return {cell.id: tuple(_shown(cell)) for cell in run.cells if cell.cell_type == "code"}


def _only_here(folder: Path) -> Config:
    """Talk with the kernel by files in a folder where the system can: nobody else can listen."""
    by_files = {"transport": "ipc", "ip": str(folder / "kernel")}
    return Config(KernelManager=by_files if os.name == "posix" else {})


def _skipped(workbook: NotebookNode) -> Iterator[str]:
    on_real_packets = False
    for cell in workbook.cells:
        if cell.cell_type == "markdown" and SECTION.match(cell.source):
            on_real_packets = bool(REAL_PACKETS.match(cell.source))
        is_left_out = on_real_packets or grade_name(cell).startswith("mark-")
        if cell.cell_type == "code" and (is_left_out or NOT_RUN.search(cell.source)):
            yield cell.id


def _shown(cell: NotebookNode) -> Iterator[Shown]:
    printed: list[str] = []
    for output in cell.outputs:
        if output.output_type == "error":
            yield from _text(printed)
            yield NEEDS_AN_ANSWER
            return
        if output.output_type == "stream":
            printed += [output.text] if output.name == "stdout" else []
            continue
        picture = _picture(output.data)
        if picture is None:
            printed.append(f"{output.data.get('text/plain', '')}\n")
        else:
            yield from _text(printed)
            printed = []
            yield picture
    yield from _text(printed)


def _picture(data: Mapping[str, Any]) -> Picture | None:
    found = PICTURE.search(data.get("text/html", ""))
    if found is None or "hop-picture" not in data["text/html"]:
        return None
    spoken = SPOKEN.match(found[0])
    assert spoken is not None, "every drawing has a sentence"
    text = data["text/plain"].removesuffix(TOUCH_HINT)
    return Picture(found[0], unescape(spoken[1]), text)


def _text(printed: list[str]) -> Iterator[str]:
    if text := "".join(printed).rstrip():
        yield text
