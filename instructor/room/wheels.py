"""All wheels that the course needs on some kinds of laptops, and a proof that none is missing.

pip fetches wheels for another system, but asks this one what the markers of requirements mean: what
only Windows needs, say, it leaves out. So what came is looked through here, from the course on,
with each laptop's own markers, and pip is asked for what is missing until nothing is.
"""

__all__ = ["MissingWheelsError", "fetch_wheels", "missing"]

import subprocess
import sys
import zipfile
from collections import defaultdict
from collections.abc import Mapping, Sequence
from email.parser import HeaderParser
from pathlib import Path
from typing import NamedTuple

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name, parse_wheel_filename
from packaging.version import Version

from instructor.room.laptops import Laptop

ROUNDS = 8  # of asking for what is missing; two were enough wherever it was tried


class MissingWheelsError(RuntimeError):
    """Some wheels cannot be had; the text says for which laptop and which."""


class _Wheel(NamedTuple):
    version: Version
    requires: tuple[Requirement, ...]


def fetch_wheels(
    course: Path, laptops: Sequence[Laptop], folder: Path, pip_options: Sequence[str] = ()
) -> None:
    """Put into `folder` all that the course's wheel needs on each of the laptops, and pip itself.

    `pip_options` say where pip looks, if not where this machine's settings say. Raises
    `MissingWheelsError`.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for laptop in laptops:
        wanted: Sequence[str] = (str(course), "pip")
        for _ in range(ROUNDS):
            _download(laptop, wanted, folder, pip_options)
            lacking = missing(course, laptop, folder)
            if not lacking:
                break
            wanted = (str(course), *lacking)
        else:
            raise MissingWheelsError(
                f"For {laptop.name} these are still missing: {', '.join(lacking)}."
            )


def missing(course: Path, laptop: Laptop, folder: Path) -> tuple[str, ...]:
    """Return what the course needs on a laptop and no wheel in `folder` gives, as requirements."""
    there = _there(laptop, folder)
    root = parse_wheel_filename(course.name)
    waiting = [(Requirement(root[0]), "")]
    seen: set[tuple[str, str]] = set()
    lacking: dict[str, None] = {}
    there[root[0]].append(_Wheel(root[1], _requires(course)))
    while waiting:
        wanted, _ = waiting.pop()
        name = canonicalize_name(wanted.name)
        fit = [one for one in there[name] if wanted.specifier.contains(one.version, True)]
        if not fit:
            lacking[f"{wanted.name}{wanted.specifier}"] = None
            continue
        best = max(fit, key=lambda one: one.version)
        for extra in ("", *sorted(wanted.extras)):
            if (name, extra) not in seen:
                seen.add((name, extra))
                waiting += [(one, extra) for one in best.requires if _is_for(one, laptop, extra)]
    return tuple(lacking)


def _is_for(wanted: Requirement, laptop: Laptop, extra: str) -> bool:
    environment: dict[str, str | set[str] | frozenset[str]] = {**laptop.markers, "extra": extra}
    return wanted.marker is None or wanted.marker.evaluate(environment)


def _there(laptop: Laptop, folder: Path) -> Mapping[str, list[_Wheel]]:
    found: defaultdict[str, list[_Wheel]] = defaultdict(list)
    fits = frozenset(laptop.tags)
    for path in sorted(folder.glob("*.whl")):
        name, version, _, tags = parse_wheel_filename(path.name)
        if not fits.isdisjoint(tags):
            found[name].append(_Wheel(version, _requires(path)))
    return found


def _requires(wheel: Path) -> tuple[Requirement, ...]:
    with zipfile.ZipFile(wheel) as archive:
        (about,) = (
            one for one in archive.namelist()
            if one.endswith(".dist-info/METADATA") and one.count("/") == 1
        )  # fmt: skip
        text = archive.read(about).decode("utf-8", "replace")
    return tuple(map(Requirement, HeaderParser().parsestr(text).get_all("Requires-Dist", [])))


def _download(
    laptop: Laptop, wanted: Sequence[str], folder: Path, pip_options: Sequence[str]
) -> None:
    bare = laptop.python.replace(".", "")
    platforms = [word for one in laptop.platforms for word in ("--platform", one)]
    abis = [word for one in (f"cp{bare}", "abi3", "none") for word in ("--abi", one)]
    command = [
        sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check",
        "--dest", str(folder), "--only-binary", ":all:", "--python-version", laptop.python,
        "--implementation", "cp", *abis, *platforms, *pip_options, *wanted,
    ]  # fmt: skip
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        told = [line for line in done.stderr.splitlines() if line.startswith("ERROR")]
        raise MissingWheelsError(
            f"pip could not fetch all wheels for {laptop.name}. It said:\n"
            + "\n".join(told[:4] or done.stderr.splitlines()[-4:])
        )
