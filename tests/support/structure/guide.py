"""Tables of DEVELOPERS.md, which is the master of some rules that tests hold."""

import re

from instructor.release.workbook_files import ROOT

GUIDE = ROOT / "DEVELOPERS.md"


def table(*columns: str) -> list[tuple[str, ...]]:
    """Return the rows of the one table with these columns; fail if there is none."""
    lines = iter(GUIDE.read_text(encoding="utf-8").splitlines())
    head = f"| {' | '.join(columns)} |"
    assert any(line == head for line in lines), f"DEVELOPERS.md has no table {head}"
    assert re.fullmatch(r"[| :-]+", next(lines))
    rows = []
    for line in lines:
        if not line.startswith("|"):
            break
        row = tuple(cell.strip() for cell in line.strip("|").split("|"))
        assert len(row) == len(columns), line
        rows.append(row)
    assert rows, f"the table {head} has no rows"
    return rows
