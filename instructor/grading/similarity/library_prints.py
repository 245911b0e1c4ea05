"""All fingerprints of the course's library, in a form that is read in a moment.

There are some hundred thousand: as sets and an index in Python they took longer to build than a
hand-in takes to examine.
"""

__all__ = ["Library", "hashes_from_text", "hashes_to_text", "library_from"]

import base64
import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Library:
    """The hashes of each function and method, in order; `owners` are places in `names`.

    `hashes` are 64-bit numbers, one for each function that has it; both have shape (all hashes,).
    """

    names: tuple[str, ...]
    hashes: NDArray[np.uint64]
    owners: NDArray[np.uint32]

    def names_of(self, hashes: Collection[int]) -> set[str]:
        """Return the functions that have any of these hashes."""
        asked = np.fromiter(hashes, dtype=np.uint64, count=len(hashes))
        starts = np.searchsorted(self.hashes, asked, side="left").tolist()
        ends = np.searchsorted(self.hashes, asked, side="right").tolist()
        return {
            self.names[owner]
            for start, end in zip(starts, ends, strict=True)
            for owner in self.owners[start:end].tolist()
        }

    def hashes_of(self, name: str) -> frozenset[int]:
        """Return all hashes of a function; raise `ValueError` if there is no such function."""
        return frozenset(self.hashes[self.owners == self.names.index(name)].tolist())

    def to_text(self) -> str:
        """Return the library as text for `from_text`."""
        return json.dumps({
            "names": self.names,
            "hashes": hashes_to_text(self.hashes.tolist()),
            "owners": hashes_to_text(self.owners.tolist()),
        })  # fmt: skip

    @classmethod
    def from_text(cls, text: str) -> "Library":
        """Return what `to_text` wrote."""
        kept = json.loads(text)
        owners = _from_text(kept["owners"]).astype(np.uint32)
        return cls(tuple(kept["names"]), _from_text(kept["hashes"]), owners)


def library_from(functions: Mapping[str, Collection[int]]) -> Library:
    """Return the library, given all hashes of each function by its full name."""
    hashes = np.array([one for own in functions.values() for one in own], dtype=np.uint64)
    owners = np.repeat(np.arange(len(functions)), [len(own) for own in functions.values()])
    order = np.argsort(hashes, kind="stable")
    return Library(tuple(functions), hashes[order], owners[order].astype(np.uint32))


def hashes_to_text(hashes: Iterable[int]) -> str:
    """Write hashes as text; their order stays."""
    return base64.b64encode(np.array(list(hashes), dtype="<u8").tobytes()).decode("ascii")


def hashes_from_text(text: str) -> list[int]:
    """Return the hashes that `hashes_to_text` wrote, in their order."""
    hashes: list[int] = _from_text(text).tolist()
    return hashes


def _from_text(text: str) -> NDArray[np.uint64]:
    return np.frombuffer(base64.b64decode(text), dtype="<u8").astype(np.uint64, copy=False)
