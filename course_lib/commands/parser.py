"""The parser of the command line: help that fits a screen, and errors that name the argument."""

__all__ = [
    "CommandParser",
    "Commands",
    "Group",
    "add_command",
    "add_help",
    "begin_command",
    "listed",
]

import argparse
from collections.abc import Callable, Mapping
from typing import Any, NoReturn, TypeAlias

from course_lib.commands.terminal_words import columns, folded

HELP_FROM = 25  # the column in which explanations begin


class HelpFormat(argparse.RawDescriptionHelpFormatter):
    """Help as wide as the terminal, 80 columns at most; what stands around options is kept."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=HELP_FROM, width=columns())


class CommandParser(argparse.ArgumentParser):
    """A parser without groups of its own: each command says what is usual and what is rare.

    `tell` is what the command does, in a line; `reminder` is said where an argument is missing.
    """

    tell = ""
    reminder = ""

    def __init__(self, **given: Any) -> None:
        super().__init__(**{"formatter_class": HelpFormat, "add_help": False, **given})

    def error(self, message: str) -> NoReturn:
        """Say which argument is wrong and where all are explained; end with status 2."""
        said = [f"{self.prog}: {message}"]
        if self.reminder and "required" in message:
            said.append(self.reminder)
        said.append(f"What there is to choose: {self.prog} --help")
        self.exit(2, folded("\n".join(said)) + "\n")


Commands: TypeAlias = "argparse._SubParsersAction[CommandParser]"
Group: TypeAlias = "argparse._ArgumentGroup"


def add_command(
    commands: Commands, name: str, tell: str, run: Callable[[argparse.Namespace], int],
    **given: Any,
) -> CommandParser:  # fmt: skip
    """Add a command; unless `given` describes it otherwise, it is described by `tell`."""
    description = folded(given.pop("description", f"{tell[0].upper()}{tell[1:]}."))
    command = commands.add_parser(name, description=description, **given)
    command.tell = tell
    command.set_defaults(run=run)
    return command


def begin_command(
    commands: Commands, name: str, tell: str, run: Callable[[argparse.Namespace], int], *,
    reminder: str = "", **given: Any,
) -> tuple[Group, Group]:  # fmt: skip
    """Add a command; return groups for its usual choices, and for those of now and then.

    To the latter belongs its help, which comes first.
    """
    command = add_command(commands, name, tell, run, **given)
    command.reminder = reminder
    usual, rare = command.add_argument_group("usual"), command.add_argument_group("now and then")
    add_help(rare)
    return usual, rare


def add_help(group: Group) -> None:
    """Add `--help` to a group, in the place where it is to be listed."""
    group.add_argument("-h", "--help", action="help", help="show this")


def listed(commands: Mapping[str, CommandParser]) -> str:
    """Return a line for each command."""
    width = max(map(len, commands))
    return "\n".join(f"  {name:<{width}}  {one.tell}" for name, one in commands.items())
