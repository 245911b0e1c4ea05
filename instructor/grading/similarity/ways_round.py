"""Means in an answer that can reach the library without an import that is seen.

`library_uses` refuses an answer that imports the library, and the answer's process cannot
import it. Whoever puts their mind to it finds other ways: a name put together from pieces,
code from a text, files read, frames walked, modules looked for in memory. An honest
answer may use such means too, so they are a note for a person, and cost nothing.
"""

__all__ = ["may_reach_round", "ways_round"]

import ast
import re
from collections.abc import Container, Iterator

from course_lib.exercises.answer_source import parse_cell

AS_MODULES = frozenset({
    "builtins", "code", "codeop", "ctypes", "gc", "imp", "importlib", "inspect", "linecache",
    "marshal", "multiprocessing", "pkgutil", "runpy", "subprocess", "zipimport",
})  # fmt: skip
AS_NAMES = frozenset({
    "__builtins__", "__import__", "__loader__", "__spec__", "compile", "eval", "exec", "open",
})  # fmt: skip
BEHIND_A_DOT = frozenset({
    "CodeType", "FunctionType", "__builtins__", "__globals__", "__import__", "__loader__",
    "__spec__", "__subclasses__", "_current_frames", "_getframe", "ag_frame", "cr_frame",
    "execv", "execve", "f_back", "f_builtins", "f_globals", "f_locals", "gi_frame",
    "import_module", "meta_path", "modules", "open", "path_hooks", "path_importer_cache", "popen",
    "posix_spawn", "read_bytes", "read_text", "spawnv", "system", "tb_frame",
})  # fmt: skip
OF_A_MODULE = frozenset({"__dict__", "getattr", "vars"})  # any name may follow as a text
IN_A_TEXT = frozenset(name for name in AS_NAMES | BEHIND_A_DOT if name.startswith("__"))
WORDS = re.compile(
    rf"\b(?:{'|'.join(sorted(AS_MODULES | AS_NAMES | BEHIND_A_DOT | OF_A_MODULE))})\b"
)


def may_reach_round(source: str) -> bool:
    """Tell quickly whether `ways_round` could find anything in a text."""
    return WORDS.search(source) is not None


def ways_round(source: str) -> tuple[str, ...]:
    """Name the means in a piece of source, each once, in the order of the syntax tree.

    >>> ways_round("import importlib as i\\ndef f(x):\\n    return i.import_module(x).y")
    ('importlib', 'i.import_module')
    """
    tree = parse_cell(source) if may_reach_round(source) else None
    if tree is None:
        return ()
    nodes = list(ast.walk(tree))
    modules = {
        (alias.asname or alias.name).partition(".")[0]
        for node in nodes
        if isinstance(node, ast.Import)
        for alias in node.names
    }
    return tuple(dict.fromkeys(name for node in nodes for name in _means(node, modules)))


def _means(node: ast.AST, modules: Container[str]) -> Iterator[str]:
    if isinstance(node, ast.Import):
        names = [alias.name for alias in node.names]
        yield from (name for name in names if name.partition(".")[0] in AS_MODULES)
    elif isinstance(node, ast.ImportFrom):
        home, names = node.module or "", [alias.name for alias in node.names]
        all_of_it = home.partition(".")[0] in AS_MODULES
        yield from (f"{home}.{name}" for name in names if all_of_it or name in BEHIND_A_DOT)
    elif isinstance(node, ast.Name) and node.id in AS_NAMES:
        yield node.id
    elif isinstance(node, ast.Attribute):
        home = node.value.id if isinstance(node.value, ast.Name) else ""
        if node.attr in BEHIND_A_DOT or (node.attr in OF_A_MODULE and home in modules):
            yield f"{home}.{node.attr}".lstrip(".")
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        about = [given.id for given in node.args[:1] if isinstance(given, ast.Name)]
        if node.func.id in OF_A_MODULE and about and about[0] in modules:
            yield f"{node.func.id}({about[0]})"
    elif isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield from [node.value] if node.value in IN_A_TEXT else []
