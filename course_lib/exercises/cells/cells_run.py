"""Which cells were run, and in which order a run from the top would come to them.

A notebook's kernel only knows what was run, one after the other. What is marked later is the
notebook from its top to its bottom. So each cell is noted with the id that the notebook gives it,
and the order is read from the saved file, as far as there is one; without it, cells stand in
the order in which they were first run.
"""

__all__ = ["CellsRun", "cells_run", "watch"]

import json
import os
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

FILE_VARIABLE = "JPY_SESSION_NAME"  # where a Jupyter server tells a kernel its notebook's path


@dataclass(frozen=True, slots=True)
class CellsRun:
    """The source of cells: `in_order` as they stand in the notebook, `as_run` as they were run.

    The first `above` of those in order stand above the cell that asks.
    """

    in_order: tuple[str, ...]
    above: int
    as_run: tuple[str, ...]


@dataclass(slots=True)
class CellWatch:
    """What was run under which id, for one kernel: kept by its shell, as its history is.

    Sources are kept as they stand in the notebook; the shell's `In` holds what it made of them.
    """

    sources: dict[str, str] = field(default_factory=dict)  # the latest, in order of the first run
    times: dict[str, float] = field(default_factory=dict)  # when each was last run
    now: str = ""  # the cell that runs
    early: tuple[str, ...] = ()  # what was run before anybody watched
    ran: list[str] = field(default_factory=list)  # all that was run since, one after the other

    def note(self, info: Any) -> None:
        """Take down a cell that is about to run."""
        self.now = getattr(info, "cell_id", None) or ""
        if not info.raw_cell:
            return
        self.ran.append(info.raw_cell)
        if self.now:
            self.sources[self.now] = info.raw_cell
            self.times[self.now] = time.time()


def watch() -> None:
    """Note from now on which cell each piece of source comes from, where there is a notebook."""
    shell = _shell()
    if shell is None or hasattr(shell, "hop_by_hop_cells"):
        return
    early = tuple(source for source in shell.history_manager.input_hist_raw if source)
    shell.hop_by_hop_cells = CellWatch(early=early)
    shell.events.register("pre_run_cell", shell.hop_by_hop_cells.note)


def cells_run(names: dict[str, Any]) -> CellsRun:
    """Return the cells run so far; `names` are those of the cell that asks, history included."""
    watched: CellWatch | None = getattr(_shell(), "hop_by_hop_cells", None)
    if watched is None:
        history = names.get("In")
        ran = tuple(source for source in history if source) if isinstance(history, list) else ()
    else:
        ran = (*watched.early, *watched.ran)
    if watched is None or not watched.now:
        return CellsRun(ran, len(ran), ran)
    cells = _in_order(watched, _saved_cells())
    ids = list(cells)
    above = ids.index(watched.now) if watched.now in ids else len(ids)
    there = set(cells.values())
    early = [source for source in watched.early if source not in there]
    return CellsRun((*early, *cells.values()), len(early) + above, ran)


def _in_order(watched: CellWatch, saved: tuple[dict[str, str], float]) -> dict[str, str]:
    """Put cells that were run into the order of the file, and those it does not know between them.

    A cell that was run before the file was written, and is not in it, was deleted.
    """
    file_cells, written = saved
    order = list(file_cells)
    previous = ""
    for cell in watched.sources:
        if cell not in file_cells:
            if order and watched.times[cell] < written and cell != watched.now:
                continue
            order.insert(order.index(previous) + 1 if previous in order else len(order), cell)
        previous = cell
    return {cell: watched.sources.get(cell) or file_cells[cell] for cell in order}


def _saved_cells() -> tuple[dict[str, str], float]:
    """Return the code cells of the saved notebook by their ids, and when it was written.

    Both are empty where there is no such file, or none that can be read.
    """
    path = Path(os.environ.get(FILE_VARIABLE, ""))
    try:
        written = path.stat().st_mtime
        data = json.loads(path.read_text(encoding="utf-8"))
        cells = {
            str(cell["id"]): "".join(cell["source"])
            for cell in data["cells"] if cell["cell_type"] == "code"
        }  # fmt: skip
    except (OSError, ValueError, KeyError, TypeError):
        return {}, 0.0
    return cells, written


def _shell() -> Any:
    try:
        from IPython import get_ipython
    except ImportError:
        return None
    return get_ipython()
