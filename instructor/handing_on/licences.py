"""Under which licences the packages stand that the course uses, as they say themselves.

It is read from what is installed here (the core metadata of the Python Packaging Authority), and
needs no network. What a package does not say is not guessed.
"""

__all__ = ["Licence", "licence_of", "licences", "licences_page"]

import tomllib
from collections.abc import Iterable, Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from typing import NamedTuple

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from instructor.release.workbook_files import ROOT

CLASSIFIER = "License :: "
SHORT = 60  # characters: what is longer is the whole text, not a name
NOT_SAID = "not said: look into the package"
NOT_HERE = "not installed here"


class Licence(NamedTuple):
    """A package, its version, and its licence in its own words."""

    package: str
    version: str
    licence: str


def licences() -> tuple[Licence, ...]:
    """Return the licences of all packages that the course needs, directly or through others.

    Packages that another system or version of Python would need are not among them, nor those that
    only its tests need.
    """
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    own = [*project["dependencies"], *project["optional-dependencies"]["instructor"]]
    found: dict[str, Licence] = {}
    waiting = [*_needed(own, ())]
    seen = set(waiting)
    while waiting:
        name, extras = waiting.pop()
        try:
            package = distribution(name)
        except PackageNotFoundError:
            found[name] = Licence(name, "", NOT_HERE)
            continue
        found[name] = Licence(name, package.version, licence_of(package))
        more = {*_needed(package.requires or (), extras)} - seen
        seen |= more
        waiting += more
    return tuple(sorted(found.values()))


def licence_of(package: Distribution) -> str:
    """Return the licence as the package names it: its expression, its classifiers, or a short text.

    The expression is that of PEP 639.
    """
    about = package.metadata
    if "License-Expression" in about:
        return str(about["License-Expression"])
    classified = [
        one.rpartition(" :: ")[2]
        for one in about.get_all("Classifier") or ()
        if one.startswith(CLASSIFIER)
    ]
    if classified:
        return ", ".join(classified)
    text = about["License"].strip() if "License" in about else ""
    return text if 0 < len(text) <= SHORT and "\n" not in text else NOT_SAID


def licences_page(found: Iterable[Licence]) -> str:
    """Write the licences as a Markdown table."""
    rows = "".join(
        f"| {one.package} | {one.version} | {one.licence.replace('|', '/')} |\n" for one in found
    )
    return (
        "# Licences of the packages that the course uses\n\n"
        "As the packages say themselves, on the machine on which this kit was made. None of\n"
        "them is in the kit. What a licence asks of you is in its text, in the package.\n\n"
        f"| package | version | licence |\n| --- | --- | --- |\n{rows}"
    )


def _needed(texts: Iterable[str], extras: tuple[str, ...]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each package that is needed here, and which extras of it."""
    for text in texts:
        need = Requirement(text)
        here = [{"extra": extra} for extra in ("", *extras)]
        if need.marker is None or any(need.marker.evaluate(one) for one in here):
            yield canonicalize_name(need.name), tuple(sorted(need.extras))
