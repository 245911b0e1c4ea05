"""Set up the course on this laptop, out of this folder alone: no network is needed or used.

    python3 set_up.py        (on Windows: py set_up.py)

It makes a virtual environment in `.venv` beside this file. It needs nothing but Python; not even
its part that makes environments with pip, which some systems leave out: pip is in the folder.
"""

import json
import os
import subprocess
import sys
import venv
from pathlib import Path

HERE = Path(__file__).resolve().parent
WHEELS = HERE / "wheels"
HOME = HERE / ".venv"
PYTHON = HOME / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def main() -> int:
    """Set up, and let the course say what this machine can do."""
    kit = json.loads((HERE / "kit.json").read_text(encoding="utf-8"))
    version = ".".join(map(str, sys.version_info[:2]))
    if version not in kit["pythons"]:
        print("This is Python {}; this kit is for Python {}.".format(
            version, " or ".join(kit["pythons"])))  # fmt: skip
        return 1
    print("Setting up out of this folder ...", flush=True)
    venv.create(str(HOME), with_pip=False, clear=True)
    (pip,) = WHEELS.glob("pip-*.whl")
    surroundings = {
        name: value for name, value in os.environ.items() if not name.startswith("PIP_")
    }
    surroundings["PIP_CONFIG_FILE"] = os.devnull
    done = subprocess.call(
        [str(PYTHON), str(pip / "pip"), "install", "--quiet", "--no-index", "--find-links",
         str(WHEELS), "--no-cache-dir", "--disable-pip-version-check", kit["course"]],
        env=surroundings,
    )  # fmt: skip
    if done:
        print("That did not work. This kit is for: {}.".format(", ".join(kit["laptops"])))
        return done
    print("Done. What this machine can do:", flush=True)
    return subprocess.call([str(PYTHON), "-m", kit["then"], *kit["arguments"]], cwd=str(HERE))


if __name__ == "__main__":
    sys.exit(main())
