"""Hand-ins whose file attacks the grader: what lies on the disk, and what must become of it."""

import copy
import json
import os
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from hand_ins.hand_in_files import doubled, solved

RIGHT = solved()
OCTETS = json.dumps(RIGHT).encode()


class HostileFile(NamedTuple):
    """A file for one student: who writes it, whether it can be graded, and what is said of it."""

    name: str
    write: Callable[[Path], object]
    graded: bool
    said: str = ""
    all_points: bool = True


def edited(change: Callable[[dict], object]) -> Callable[[Path], object]:
    """Return a writer of the model answers in a workbook that was changed by hand."""

    def write(path: Path) -> None:
        data = json.loads(json.dumps(RIGHT))
        change(data)
        path.write_text(json.dumps(data))

    return write


def of_octets(octets: bytes) -> Callable[[Path], object]:
    return lambda path: path.write_bytes(octets)


def each(data: dict, prefix: str) -> list[dict]:
    cells = data["cells"]
    return [
        c for c in cells if c["metadata"].get("nbgrader", {}).get("grade_id", "").startswith(prefix)
    ]


def more_points(data: dict) -> None:
    for cell in each(data, "mark-"):
        cell["metadata"]["nbgrader"]["points"] = 1_000_000


def names_swapped(data: dict) -> None:
    """Let the check of another exercise stand in for one's own."""
    one, other = each(data, "mark-")[:2]
    about, more = one["metadata"]["nbgrader"], other["metadata"]["nbgrader"]
    about["grade_id"], more["grade_id"] = more["grade_id"], about["grade_id"]


def unlocked(data: dict) -> None:
    for cell in each(data, "mark-"):
        cell["metadata"]["nbgrader"].update(locked=False, grade=False, solution=True)


def checks_that_lie(data: dict) -> None:
    for cell in each(data, "mark-"):
        cell["source"] = "100.0"


def outputs_that_lie(data: dict) -> None:
    for cell in each(data, "mark-"):
        result = {"text/plain": "100.0", "text/html": "<script>alert(1)</script>"}
        cell["outputs"] = [
            {"output_type": "execute_result", "execution_count": 1, "metadata": {}, "data": result}
        ]


def wrong_types(data: dict) -> None:
    for cell in data["cells"]:
        if "nbgrader" not in cell["metadata"]:
            cell.update(source={"a": 1}, cell_type=7, metadata=[1, 2], outputs="none")


def huge_numbers(data: dict) -> None:
    data["nbformat"] = data["nbformat_minor"] = 10**400
    data["metadata"]["hop_by_hop"]["release"] = "x" * 1_000_000


def many_cells(data: dict) -> None:
    data["cells"] += [copy.deepcopy(data["cells"][0]) for _ in range(20_000)]


def setup_replaced(data: dict) -> None:
    (cell,) = each(data, "setup")
    cell["source"] = "import os; os._exit(0)"


def another_unit(data: dict) -> None:
    data["metadata"]["hop_by_hop"]["unit"] = "../../../02-checksums"


def terminal_codes(data: dict) -> None:
    data["metadata"]["hop_by_hop"]["release"] = "\x1b[2J\x1b]0;owned\x07<script>"


def as_old_format(data: dict) -> None:
    """As nbformat 3 has it: cells inside worksheets."""
    data.update(nbformat=3, worksheets=[{"cells": data.pop("cells")}])


def two_versions(path: Path) -> None:
    path.write_text(json.dumps(doubled(RIGHT, "answer-1-1", "def read_word(*g):\n    return 1\n")))


def large(path: Path) -> None:
    with path.open("wb") as file:  # a file with a hole: large to read, small on the disk
        file.truncate(200 << 20)


def archive(path: Path) -> None:
    """A little archive that would unpack to 256 MiB."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for number in range(4):
            packed.writestr(f"../../{number}.ipynb", bytes(64 << 20))


def in_an_archive(*members: tuple[str, bytes], cut: int = 0) -> Callable[[Path], object]:
    """Put an archive in the workbook's place; `cut` octets are missing at its end."""

    def write(path: Path) -> None:
        with zipfile.ZipFile(path.with_name("work.zip"), "w", zipfile.ZIP_DEFLATED) as packed:
            for name, data in members:
                packed.writestr(name, data)
        octets = path.with_name("work.zip").read_bytes()
        path.with_name("work.zip").write_bytes(octets[: len(octets) - cut])

    return write


def link_to(target: str) -> Callable[[Path], object]:
    return lambda path: path.symlink_to(target)


def repeated_keys(path: Path) -> None:
    text = json.dumps(RIGHT)
    path.write_text('{"cells": [], ' + text[1:])


def lone_halves(path: Path) -> None:
    data = json.loads(json.dumps(RIGHT))
    data["cells"][0]["source"] = "\ud800"
    path.write_text(json.dumps(data))


def one_octet_wrong(path: Path) -> None:
    path.write_bytes(json.dumps(RIGHT).encode() + b"\xff")


HOSTILE_FILES = (
    HostileFile("more-points", edited(more_points), graded=True),
    HostileFile("names-swapped", edited(names_swapped), graded=True, said="check cells edited"),
    HostileFile("unlocked", edited(unlocked), graded=True),
    HostileFile("checks-that-lie", edited(checks_that_lie), graded=True, said="ours were used"),
    HostileFile("outputs-that-lie", edited(outputs_that_lie), graded=True),
    HostileFile("wrong-types", edited(wrong_types), graded=True),
    HostileFile("huge-numbers", edited(huge_numbers), graded=True, said="another release"),
    HostileFile("many-cells", edited(many_cells), graded=True),
    HostileFile("setup-replaced", edited(setup_replaced), graded=True),
    HostileFile("another-unit", edited(another_unit), graded=False, said="not part of this class"),
    HostileFile("terminal-codes", edited(terminal_codes), graded=True, said="another release"),
    HostileFile("as-old-format", edited(as_old_format), graded=False, said="no list of cells"),
    HostileFile("two-versions", two_versions, graded=True, all_points=False),
    HostileFile("200-mib", large, graded=False, said="too large"),
    HostileFile("an-archive", archive, graded=False, said="archive"),
    HostileFile("in-an-archive", in_an_archive(("a/../b.ipynb", b"{}"), ("c.ipynb", OCTETS)),
                graded=True, said="renamed"),
    HostileFile("in-a-cut-archive", in_an_archive(("a.ipynb", OCTETS), cut=9), graded=False,
                said="damaged"),
    HostileFile("in-an-archive-of-zeros", in_an_archive(("a.ipynb", bytes(64 << 20))),
                graded=False, said="too large"),
    HostileFile("in-an-archive-in-an-archive", in_an_archive(("a.zip", b"PK")), graded=False,
                said="not opened"),
    HostileFile("an-archive-that-leads-out", in_an_archive(("../../../etc/passwd", b"")),
                graded=False, said="passed over"),
    HostileFile("link-to-zero", link_to("/dev/zero"), graded=False, said="a link"),
    HostileFile("link-to-the-system", link_to("/etc/passwd"), graded=False, said="a link"),
    HostileFile("link-to-nothing", link_to("nowhere"), graded=False, said="a link"),
    HostileFile("a-pipe", os.mkfifo, graded=False, said="not a file"),
    HostileFile("a-folder", Path.mkdir, graded=False, said="not a file"),
    HostileFile("repeated-keys", repeated_keys, graded=True),
    HostileFile("lone-halves", lone_halves, graded=True),
    HostileFile("one-octet-wrong", one_octet_wrong, graded=False, said="not UTF-8"),
    HostileFile("nested-without-end", of_octets(b'{"cells": ' + b"[" * 2_000_000), graded=False,
                said="not JSON"),
    HostileFile("numbers-without-end", of_octets(b'{"cells": ' + b"9" * 5_000_000), graded=False,
                said="not JSON"),
    HostileFile("nothing", of_octets(b""), graded=False, said="empty"),
    HostileFile("zero-octets", of_octets(bytes(1000)), graded=False, said="not JSON"),
)  # fmt: skip

ODD_NAMES = (
    "<script>alert(1)<b>",
    "-rf",
    "alder\x1b[2J",
    "a" * 200,
    "..alder",
    "alder;reboot",
    "alder bracken",
)
