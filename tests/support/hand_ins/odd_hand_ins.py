"""Hand-ins of people who mean well and do unusual things: none of it may cost a point.

Every oddity changes much of the workbook: half of the answers, or everything around them. It is
combined with different right answers that are known, so a grader that fails whatever looks
strange does not come through by luck.
"""

import copy
import json
import textwrap
from collections.abc import Callable, Iterator
from typing import NamedTuple

import nbformat
from nbformat import NotebookNode

from hand_ins.hand_in_files import UNIT, solved
from instructor.release.workbook_files import grade_name
from instructor.units.items import Item, source_of, unit_items

SETS = 4  # of right answers: the model's, and three others
Answer = Callable[[str, str], str]  # source and name of the function -> source
Workbook = Callable[[NotebookNode], NotebookNode]


class OddHandIn(NamedTuple):
    """A workbook as it lies on the disk, and what is odd about it."""

    name: str
    octets: bytes


def wrapped(before: str, source: str, name: str, body: str) -> str:
    """Keep the function under another name and call it from a new one."""
    return f"{before}{source}\n_own_{name} = {name}\ndef {name}(*given):\n    {body}\n"


IN_THE_CELL: dict[str, Answer] = {
    "prints": lambda source, name: source + "\nprint('it works')\n",
    "prints-in-every-call": lambda source, name: wrapped(
        "", source, name, f"print('called'); return _own_{name}(*given)"
    ),
    "writes-to-standard-error": lambda source, name: (
        "import sys\nprint('hm', file=sys.stderr)\n" + source
    ),
    "warns": lambda source, name: "import warnings\nwarnings.warn('look')\n" + source,
    "logs": lambda source, name: "import logging\nlogging.error('look')\n" + source,
    "notebook-command": lambda source, name: "%matplotlib inline\n!ls\n" + source,
    "tests-itself": lambda source, name: source + f"\nassert callable({name})\n",
    "guarded-main": lambda source, name: source + "\nif __name__ == '__main__':\n    print(1)\n",
    "names-from-the-future": lambda source, name: "from __future__ import annotations\n" + source,
    "carriage-returns": lambda source, name: source.replace("\n", "\r\n"),
    "blank-lines": lambda source, name: "\n\n\n" + source + "\n\n\n   \n",
    "notes-in-many-scripts": lambda source, name: "# übung, ασκηση, 練習, تمرين 🛥\n" + source,
    "own-words-as-names": lambda source, name: source + "\nλ_größe = 練習 = 1\n",
    "a-first-try-above": lambda source, name: f"def {name}(*given):\n    return None\n\n" + source,
    "a-lambda": lambda source, name: (
        source + f"\n_own = {name}\n{name} = lambda *given: _own(*given)\n"
    ),
    "a-class-that-is-called": lambda source, name: (
        source + f"\n_own = {name}\nclass _Called:\n"
        f"    def __call__(self, *given):\n        return _own(*given)\n{name} = _Called()\n"
    ),
    "remembers-results": lambda source, name: (
        "import functools\n" + source + f"\n{name} = functools.partial({name})\n"
    ),
    "a-doctest": lambda source, name: source + "\nimport doctest\ndoctest.testmod()\n",
    "uses-numpy-beside": lambda source, name: (
        "import numpy as np\nnp.seterr(all='raise')\n" + source
    ),
    "a-number-as-numpy-has-it": lambda source, name: wrapped(
        "import numpy as np\n", source, name,
        f"r = _own_{name}(*given); return np.int64(r) if type(r) is int else r",
    ),
    "named-tuples": lambda source, name: wrapped(
        "from collections import namedtuple\n", source, name,
        f"r = _own_{name}(*given)\n"
        "    names = [f'n{place}' for place in range(len(r))] if type(r) is tuple else []\n"
        "    return namedtuple('Given', names)(*r) if names else r",
    ),
    "bytearray-for-bytes": lambda source, name: wrapped(
        "", source, name,
        f"r = _own_{name}(*given); return bytearray(r) if type(r) is bytes else r",
    ),
    "uses-random-names": lambda source, name: "import random\nrandom.seed()\n" + source,
    "changes-the-recursion-limit": lambda source, name: (
        "import sys\nsys.setrecursionlimit(20_000)\n" + source
    ),
    "asks-for-the-time": lambda source, name: "import time\nstarted = time.time()\n" + source,
    "global-counter": lambda source, name: wrapped(
        "calls = 0\n", source, name, f"global calls; calls += 1; return _own_{name}(*given)"
    ),
    "a-closing-string": lambda source, name: source + '\n"""my notes: ask about carries"""\n',
    "semicolons": lambda source, name: source + "\na = 1; b = 2; del a, b\n",
    "sleeps-a-little": lambda source, name: "import time\ntime.sleep(0.05)\n" + source,
    "a-figure": lambda source, name: source + "\n_ = [[0] * 100 for _ in range(100)]\n",
}  # fmt: skip


def outputs_kept(workbook: NotebookNode) -> NotebookNode:
    for number, cell in enumerate(each_code_cell(workbook), start=1):
        cell.execution_count = number
        cell.outputs = [nbformat.v4.new_output("stream", name="stderr", text="a warning\n")]
    return workbook


def run_twice(workbook: NotebookNode) -> NotebookNode:
    for number, cell in enumerate(each_code_cell(workbook), start=100):
        cell.execution_count = number
    return workbook


def each_code_cell(workbook: NotebookNode) -> Iterator[NotebookNode]:
    return (cell for cell in workbook.cells if cell.cell_type == "code")


def with_cells(workbook: NotebookNode, place: int, *sources: str) -> NotebookNode:
    cells = [nbformat.v4.new_code_cell(source) for source in sources]
    workbook.cells[place:place] = cells
    return workbook


def without_checks(workbook: NotebookNode) -> NotebookNode:
    workbook.cells = [c for c in workbook.cells if not grade_name(c).startswith("mark-")]
    return workbook


def checks_repeated(workbook: NotebookNode) -> NotebookNode:
    checks = [c for c in workbook.cells if grade_name(c).startswith("mark-")]
    workbook.cells += [nbformat.v4.new_code_cell(c.source) for c in checks]
    return workbook


def answers_doubled(workbook: NotebookNode) -> NotebookNode:
    answers = [c for c in workbook.cells if grade_name(c).startswith("answer-")]
    workbook.cells += [copy.deepcopy(cell) for cell in answers]
    return workbook


def reversed_cells(workbook: NotebookNode) -> NotebookNode:
    workbook.cells.reverse()
    return workbook


def names_lost(workbook: NotebookNode) -> NotebookNode:
    """As when answers are pasted into new cells and the old ones are deleted."""
    for cell in workbook.cells:
        if grade_name(cell).startswith("answer-"):
            del cell.metadata["nbgrader"]
    return workbook


def text_deleted(workbook: NotebookNode) -> NotebookNode:
    workbook.cells = [cell for cell in workbook.cells if cell.cell_type == "code"]
    return workbook


def extra_metadata(workbook: NotebookNode) -> NotebookNode:
    workbook.metadata["toc"] = {"base_numbering": 1}
    for cell in workbook.cells:
        cell.metadata.update({"collapsed": True, "editable": False, "slideshow": {"a": None}})
    return workbook


def other_kernel(workbook: NotebookNode) -> NotebookNode:
    workbook.metadata["kernelspec"] = {"name": "mine", "display_name": "Mine", "language": "python"}
    return workbook


def no_cell_ids(workbook: NotebookNode) -> NotebookNode:
    """As nbformat 4.4 has it."""
    workbook.nbformat_minor = 4
    for cell in workbook.cells:
        del cell["id"]
    return workbook


AROUND_THE_CELLS: dict[str, Workbook] = {
    "outputs-kept": outputs_kept,
    "run-twice": run_twice,
    "checks-deleted": without_checks,
    "checks-repeated": checks_repeated,
    "answers-doubled": answers_doubled,
    "cells-in-reverse": reversed_cells,
    "answers-in-new-cells": names_lost,
    "text-deleted": text_deleted,
    "metadata-of-other-programs": extra_metadata,
    "another-kernel": other_kernel,
    "nbformat-4.4": no_cell_ids,
    "own-cells-that-fail": lambda book: with_cells(book, 3, "1/0", "not python at all", "x ="),
    "own-cells-that-loop": lambda book: with_cells(book, 3, "while True: pass", "input()"),
    "own-cells-that-exit": lambda book: with_cells(book, 0, "import os; os._exit(1)", "exit()"),
    "own-cells-with-commands": lambda book: with_cells(book, 0, "%%bash\nls", "!ls", "?print"),
    "many-own-cells": lambda book: with_cells(book, 5, *("x = 1" for _ in range(300))),
    "empty-cells": lambda book: with_cells(book, 5, "", " ", "\n", "#"),
}

ON_THE_DISK: dict[str, Callable[[str], bytes]] = {
    "byte-order-mark": lambda text: b"\xef\xbb\xbf" + text.encode(),
    "indented-by-nothing": lambda text: json.dumps(json.loads(text)).encode(),
    "indented-by-four": lambda text: json.dumps(json.loads(text), indent=4).encode(),
    "escaped": lambda text: json.dumps(json.loads(text), ensure_ascii=True).encode(),
    "sources-in-one-piece": lambda text: json.dumps(_in_one_piece(json.loads(text))).encode(),
    "windows-lines": lambda text: text.replace("\n", "\r\n").encode(),
    "keys-in-another-order": lambda text: json.dumps(json.loads(text), sort_keys=True).encode(),
    "blanks-around": lambda text: f"\n\n  {text}  \n".encode(),
}


def _in_one_piece(data: dict) -> dict:
    for cell in data["cells"]:
        cell["source"] = "".join(cell["source"])
    return data


def names_of_odd_hand_ins() -> list[str]:
    """Return the names of all, which costs nothing."""
    oddities = (*IN_THE_CELL, *AROUND_THE_CELLS, *ON_THE_DISK)
    return [f"{name}-{number}" for number in range(SETS) for name in oddities]


def odd_hand_ins(unit: str = UNIT) -> Iterator[OddHandIn]:
    """Return every oddity with each set of right answers."""
    for number, right in enumerate(_sets_of_right_answers(unit)):
        for name, change in IN_THE_CELL.items():
            changed = {
                cell: change(source, function) if place % 2 == number % 2 else source
                for place, (cell, (source, function)) in enumerate(right.items())
            }  # in the next set the other half: each exercise has each oddity with two right ones
            yield OddHandIn(f"{name}-{number}", json.dumps(solved(unit, **changed)).encode())
        plain = {cell: source for cell, (source, _) in right.items()}
        for name, around in AROUND_THE_CELLS.items():
            workbook = around(copy.deepcopy(solved(unit, **plain)))
            yield OddHandIn(f"{name}-{number}", json.dumps(workbook).encode())
        for name, write in ON_THE_DISK.items():
            text = nbformat.writes(solved(unit, **plain))
            yield OddHandIn(f"{name}-{number}", write(text))


def _sets_of_right_answers(unit: str) -> list[dict[str, tuple[str, str]]]:
    """Return the model answers, and three times others: cell name -> source and function."""
    items = unit_items(unit[:2])
    return [{one.exercise.cell_name: _right(one, place) for one in items} for place in range(SETS)]


def _right(one: Item, place: int) -> tuple[str, str]:
    function = one.exercise.function
    answer = (one.answer, *one.others)[place]
    return textwrap.dedent(source_of(answer, function)), function
