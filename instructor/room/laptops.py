"""Which laptops a kit is for: a system and a version of Python, as wheels and markers name them.

Tags are those of PEP 425 and PEP 600, markers those of PEP 508.
"""

__all__ = ["Laptop", "UnknownLaptopError", "named_laptops", "this_machine"]

import platform
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from packaging.tags import Tag, compatible_tags, cpython_tags, mac_platforms

PYTHONS = ("3.11", "3.12", "3.13")


class _System(NamedTuple):
    """What a system is called by `sys`, `os`, `platform`, and on wheels."""

    sys_platform: str
    os_name: str
    platform_system: str
    machine: str
    platforms: tuple[str, ...]


def _linux(machine: str) -> tuple[str, ...]:
    """Return what runs with the GNU C library 2.28 (Debian 10, 2019) and later ones."""
    versions = [f"manylinux_2_{minor}_{machine}" for minor in range(28, 4, -1)]
    older = [f"{name}_{machine}" for name in ("manylinux2014", "manylinux2010", "manylinux1")]
    return (*versions, *older, f"linux_{machine}")


SYSTEMS: Mapping[str, _System] = {
    "linux": _System("linux", "posix", "Linux", "x86_64", _linux("x86_64")),
    "linux-arm": _System("linux", "posix", "Linux", "aarch64", _linux("aarch64")),
    "mac": _System(
        "darwin", "posix", "Darwin", "arm64", tuple(mac_platforms((13, 0), "arm64"))
    ),
    "mac-intel": _System(
        "darwin", "posix", "Darwin", "x86_64", tuple(mac_platforms((13, 0), "x86_64"))
    ),
    "windows": _System("win32", "nt", "Windows", "AMD64", ("win_amd64",)),
}  # fmt: skip


class UnknownLaptopError(ValueError):
    """A name says no system or version of Python that a kit can be made for."""


@dataclass(frozen=True, slots=True)
class Laptop:
    """A kind of laptop, such as `windows-3.12`."""

    system: str
    python: str

    @property
    def name(self) -> str:
        """Return what people type."""
        return f"{self.system}-{self.python}"

    @property
    def platforms(self) -> tuple[str, ...]:
        """Return the platforms of wheels that run there, best first."""
        return SYSTEMS[self.system].platforms

    @property
    def tags(self) -> Sequence[Tag]:
        """Return the tags of wheels that run there, best first."""
        major, minor = map(int, self.python.split("."))
        return (
            *cpython_tags((major, minor), platforms=self.platforms),
            *compatible_tags((major, minor), f"cp{major}{minor}", self.platforms),
        )

    @property
    def markers(self) -> dict[str, str]:
        """Return what the markers of requirements mean there."""
        system = SYSTEMS[self.system]
        return {
            "implementation_name": "cpython", "platform_python_implementation": "CPython",
            "implementation_version": f"{self.python}.0", "python_version": self.python,
            "python_full_version": f"{self.python}.0", "sys_platform": system.sys_platform,
            "os_name": system.os_name, "platform_system": system.platform_system,
            "platform_machine": system.machine, "platform_release": "", "platform_version": "",
        }  # fmt: skip


def named_laptops(names: Sequence[str]) -> tuple[Laptop, ...]:
    """Return the laptops with these names, each once; raise `UnknownLaptopError` in words."""
    return tuple(dict.fromkeys(map(_named, names)))


def this_machine() -> Laptop:
    """Return the kind of this machine; raise `UnknownLaptopError` if it is none of them."""
    here = (sys.platform, platform.machine())
    for name, one in SYSTEMS.items():
        if here == (one.sys_platform, one.machine):
            return _named(f"{name}-{sys.version_info[0]}.{sys.version_info[1]}")
    raise UnknownLaptopError(f"--offline: this machine is none of {', '.join(SYSTEMS)}. Name some.")


def _named(name: str) -> Laptop:
    system, _, python = name.rpartition("-")
    if system not in SYSTEMS or python not in PYTHONS:
        raise UnknownLaptopError(
            f"--offline {name}: there is no such kind of laptop. Say a system "
            f"({', '.join(SYSTEMS)}) and a Python ({', '.join(PYTHONS)}), such as windows-3.12."
        )
    return Laptop(system, python)
