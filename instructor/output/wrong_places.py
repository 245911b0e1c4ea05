"""An argument that names a wrong place: said with its name, what is wrong, and what to do.

Whoever types a command mixes up folders now and then. The text begins with the argument that is
to be changed, since blaming another one sends people on a long search.
"""

__all__ = ["WrongPlaceError", "refuse_a_file"]

from pathlib import Path


class WrongPlaceError(ValueError):
    """An argument names a wrong place; the text begins with the argument and says what to do."""


def refuse_a_file(argument: str, folder: Path) -> None:
    """Raise `WrongPlaceError` if a folder cannot be there, because it or a part of it is a file."""
    for place in (folder, *folder.parents):
        if place.is_dir():
            return
        if place.exists() or place.is_symlink():
            raise WrongPlaceError(f"{argument} {folder}: {place} is a file. Name a folder.")
