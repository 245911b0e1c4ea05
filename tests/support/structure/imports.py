"""Which modules of the course there are, and what each of them imports, also inside functions."""

import ast
import functools
from pathlib import Path

from instructor.release.workbook_files import ROOT


@functools.cache
def modules(top: str) -> dict[str, Path]:
    """Return all modules of `course_lib` or `instructor`, by their full names."""
    found = {}
    for path in sorted((ROOT / top).rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


@functools.cache
def imports_of(module: str) -> frozenset[str]:
    """Return the modules of the course that a module imports, wherever in its text.

    A face hands on names by their modules' names, as text; these are not counted.
    """
    known = modules("course_lib") | modules("instructor")
    found = set()
    for node in ast.walk(ast.parse(known[module].read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            found |= {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
    return frozenset((found & known.keys()) - {module})
