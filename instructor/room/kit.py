"""A folder for a memory stick: the students' bundle, and all that setting it up needs."""

__all__ = ["Kit", "make_kit"]

import json
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

from instructor.release.bundle import start_page
from instructor.room.laptops import Laptop
from instructor.room.wheels import fetch_wheels

WHEELS = "wheels"


@dataclass(frozen=True, slots=True)
class Kit:
    """Where a kit lies, for which laptops it is, and how large it is."""

    folder: Path
    laptops: tuple[Laptop, ...]
    files: int
    octets: int


def make_kit(
    bundle: Path, laptops: Sequence[Laptop], units: Sequence[str], pip_options: Sequence[str] = ()
) -> Kit:
    """Make the kit beside a students' bundle, which is a folder; wheels that it has are kept.

    Raises `MissingWheelsError` if it cannot be made whole.
    """
    folder = bundle.with_name(f"{bundle.name}-offline")
    kept = folder / WHEELS
    for old in folder.iterdir() if folder.exists() else ():
        if old != kept:
            shutil.rmtree(old) if old.is_dir() else old.unlink()
    (wheel,) = bundle.glob("*.whl")
    shutil.copytree(bundle, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("*.whl"))
    for old in kept.glob(f"{wheel.name.partition('-')[0]}-*.whl"):
        old.unlink()  # an earlier release of the course
    fetch_wheels(wheel, laptops, kept, pip_options)
    shutil.copy(wheel, kept)
    script = (resources.files("instructor.room") / "shipped" / "set_up.py").read_text("utf-8")
    (folder / "set_up.py").write_text(script, encoding="utf-8")
    (folder / "START.html").write_text(
        start_page(units, wheel.name, offline=True), encoding="utf-8"
    )
    about = {
        "course": wheel.name.partition("-")[0].replace("_", "-"),
        "pythons": sorted({one.python for one in laptops}),
        "laptops": [one.name for one in laptops],
        "then": "course_lib.cli",
        "arguments": ["check-machine"],
    }
    (folder / "kit.json").write_text(json.dumps(about, indent=1) + "\n", encoding="utf-8")
    files = [path for path in folder.rglob("*") if path.is_file()]
    return Kit(folder, tuple(laptops), len(files), sum(path.stat().st_size for path in files))
