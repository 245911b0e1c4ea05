"""What a workbook says once it has run: its points, its prints, and what it would cost points."""

__all__ = ["REAL", "noise", "points", "printed"]

from instructor.release.workbook_files import grade_name

REAL = {  # what is printed with real packets and simulated ones alike
    "05-neighbours-and-errors": "of 3 echoes came back\ncomplaint:  none\n  1 ",
    "06-the-forwarding-path": "Timetable Board  (unreachable)\n1\n  1 ",
    "10-buffers-and-tcp": "your one_tooth: no number: NotImplementedError() | kernel: ",
    "11-loss-and-tcp": "your law: no number: NotImplementedError() | kernel: ",
    "12-your-own-router": "of 20 came back; median ",
}


def points(workbook):
    """Return the points that the check cells end in, by exercise."""
    found = {}
    for cell in workbook.cells:
        if grade_name(cell).startswith("mark-"):
            (result,) = [one for one in cell.outputs if one.output_type == "execute_result"]
            found[cell.source.split('"')[1]] = float(result["data"]["text/plain"])
    return found


def printed(workbook):
    """Return all that cells printed, or ended in, as one text."""
    outputs = [one for cell in workbook.cells for one in cell.get("outputs", ())]
    return "\n".join(
        one.get("text") or one.get("data", {}).get("text/plain", "") for one in outputs
    )


def noise(workbook):
    """Return what check cells wrote to standard error: it would cost points."""
    return [
        one for cell in workbook.cells if cell.cell_type == "code" for one in cell.outputs
        if one.output_type == "stream" and one.name == "stderr"
    ]  # fmt: skip
