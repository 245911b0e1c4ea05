"""What an answer's code names that no exercise asks for: facts for a look, and no more.

The sandbox holds whatever the code does with it; here is only said what stands there. A name in
code that never runs is named too, and one that is put together while it runs is not.
"""

__all__ = ["named_in_code"]

import ast
from collections.abc import Iterator, Mapping

from course_lib.exercises.cells.cell_text import parse_cell

# What of each module, "" for all of it, belongs to what; each line is said once for an answer.
NETWORK = "the network"
PROCESSES = "other processes"
FILES = "files and folders"
AROUND = "the place where it runs"
INSIDE = "the inside of Python"
NAMED: Mapping[str, Mapping[str, str]] = {
    **{name: {"": NETWORK} for name in (
        "ssl", "urllib", "http", "ftplib", "smtplib", "requests", "socketserver",
    )},
    **{name: {"": PROCESSES} for name in ("subprocess", "multiprocessing", "pty")},
    **{name: {"": FILES} for name in ("glob", "shutil", "pathlib")},
    **{name: {"": AROUND} for name in ("platform", "getpass", "pwd")},
    **{name: {"": INSIDE} for name in ("ctypes", "gc", "_ctypes", "_posixsubprocess", "mmap")},
    # Honest answers take `inet_aton` and its like from here.
    "socket": dict.fromkeys(("socket", "socketpair", "create_connection", "create_server", "fromfd",
                             "getaddrinfo", "gethostbyname", "gethostname"), NETWORK),
    "signal": dict.fromkeys(("signal", "alarm", "setitimer", "raise_signal"), PROCESSES),
    "os": {
        **dict.fromkeys(("fork", "forkpty", "system", "popen", "kill", "killpg", "setsid", "spawnl",
                         "spawnv", "posix_spawn", "execv", "execve", "execvp"), PROCESSES),
        **dict.fromkeys(("listdir", "scandir", "walk", "open", "read", "stat", "chdir",
                         "readlink", "unlink", "remove", "rename", "mkdir"), FILES),
        **dict.fromkeys(("environ", "getenv", "uname", "getuid", "getlogin", "getppid", "getpid",
                         "getcwd"), AROUND),
        **dict.fromkeys(("_exit", "abort", "dup2", "pipe", "write", "close"), INSIDE),
    },
    "sys": {
        **dict.fromkeys(("_getframe", "_current_frames", "settrace", "setprofile", "modules",
                         "meta_path", "addaudithook"), INSIDE),
        **dict.fromkeys(("argv", "executable", "path"), AROUND),
    },
    "inspect": dict.fromkeys(("stack", "currentframe", "getouterframes"), INSIDE),
}  # fmt: skip
BUILT_IN = {"open": FILES, "__import__": INSIDE, "exec": INSIDE, "eval": INSIDE}


def named_in_code(source: str) -> tuple[str, ...]:
    """Say in a line each what an answer's code names, in a fixed order; mostly nothing.

    >>> named_in_code("import os, urllib\\ndef f(x):\\n    os.fork()\\n    return x\\n")
    ('its code names os.fork (other processes)', 'its code names urllib (the network)')
    """
    tree = parse_cell(source)
    if tree is None:
        return ()
    found: dict[str, set[str]] = {}
    for name, belongs in _names(tree):
        found.setdefault(belongs, set()).add(name)
    return tuple(
        f"its code names {', '.join(sorted(found[belongs]))} ({belongs})"
        for belongs in sorted(found)
    )


def _names(tree: ast.Module) -> Iterator[tuple[str, str]]:
    modules: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                modules[alias.asname or alias.name.partition(".")[0]] = alias.name
                yield from _of(alias.name, "")
        elif isinstance(node, ast.ImportFrom):
            for alias in node.names:
                yield from _of(node.module or "", alias.name)
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            if node.value.id in modules:
                yield from _of(modules[node.value.id], node.attr)
        elif isinstance(node, ast.Name) and node.id in BUILT_IN:
            yield node.id, BUILT_IN[node.id]


def _of(module: str, name: str) -> Iterator[tuple[str, str]]:
    top = module.partition(".")[0]
    about = NAMED.get(top, {})
    if "" in about:
        yield top, about[""]
    elif name in about:
        yield f"{top}.{name}", about[name]
