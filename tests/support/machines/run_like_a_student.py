"""Run a workbook's cells one after the other in a shell like a notebook's, then some more lines.

    python run_like_a_student.py WORKBOOK LINE ...

Prints what each cell and each line showed, as text, and `failed` with the error where one did.
"""

import json
import sys
from pathlib import Path

from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output


def main(path, *lines):
    """Run all code cells; print the texts of what they show."""
    cells = json.loads(Path(path).read_text(encoding="utf-8"))["cells"]
    shell = InteractiveShell.instance()
    code = [("".join(cell["source"]), cell["id"]) for cell in cells if cell["cell_type"] == "code"]
    for source, name in [*code, *((line, line) for line in lines)]:
        with capture_output() as shown:
            done = shell.run_cell(source, store_history=True)
        told = shown.stdout + "".join(one.data.get("text/plain", "") for one in shown.outputs)
        if not done.success:
            print(json.dumps({"cell": name, "failed": repr(done.error_in_exec), "said": told}))
        else:
            print(json.dumps({"cell": name, "said": told}))


if __name__ == "__main__":
    main(*sys.argv[1:])
