"""The text of a handbook page: a Markdown file with headings that are always the same.

## In ten minutes      what to say
## Show                the demonstration: words, a `python` block, and a `text` block with what it
                       prints; as many of the three as there are steps
## What goes wrong     a list: **what one sees** what to do
## Listen for          a list: `2.1 folds-once` a question that brings this belief to light
## To discuss          the workbook's questions in their order, each by some of its own words:
                       1. **words of the question** what good answers contain
## A slower path       a line with exercises, 2.1 2.2 2.3, then words
## A faster path       the same
"""

__all__ = ["HandbookError", "Listen", "PageText", "Path", "Prompt", "Step", "Trouble", "page_text"]

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from markdown_it import MarkdownIt
from markdown_it.token import Token

HEADINGS = (
    "In ten minutes", "Show", "What goes wrong", "Listen for", "To discuss", "A slower path",
    "A faster path",
)  # fmt: skip
SEEN = re.compile(r"\*\*(.+?)\*\*\s+(.+)", re.DOTALL)
BELIEF = re.compile(r"`(\d+\.\d+) ([^`]+)`\s+(.+)", re.DOTALL)


class HandbookError(ValueError):
    """A page cannot be made; the text names file and line, and says what to do."""


class Step(NamedTuple):
    """A step of the demonstration: what to ask or say, what to run, and what that prints."""

    words: str
    code: str
    output: str


class Trouble(NamedTuple):
    """What one sees when something goes wrong, and what to do."""

    seen: str
    do: str


class Listen(NamedTuple):
    """A belief, by its exercise and name, and a question that brings it to light."""

    exercise: str
    belief: str
    question: str


class Prompt(NamedTuple):
    """A question of the workbook, by some of its words, and what good answers contain."""

    words: str
    good: str


class Path(NamedTuple):
    """The exercises that a slower or faster room does, and words about it."""

    exercises: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class PageText:
    """All that is written for a unit; texts are Markdown."""

    say: str
    steps: tuple[Step, ...]
    troubles: tuple[Trouble, ...]
    listens: tuple[Listen, ...]
    prompts: tuple[Prompt, ...]
    slower: Path
    faster: Path


def page_text(text: str, name: str) -> PageText:
    """Read the text of a page; raises `HandbookError`, which calls the file `name`."""
    parts = dict(zip(HEADINGS, _parts(text, name), strict=True))
    return PageText(
        say=parts["In ten minutes"].text(),
        steps=tuple(_steps(parts["Show"])),
        troubles=tuple(
            Trouble(*found) for found in parts["What goes wrong"].items(SEEN, "**what one sees** …")
        ),
        listens=tuple(
            Listen(*found) for found in parts["Listen for"].items(BELIEF, "`2.1 belief` question")
        ),
        prompts=tuple(
            Prompt(*found) for found in parts["To discuss"].items(SEEN, "**words of it** answer")
        ),
        slower=_path(parts["A slower path"]),
        faster=_path(parts["A faster path"]),
    )


class _Part(NamedTuple):
    """What stands under one heading, as lines and as tokens; lines count from `start`, from 1."""

    name: str
    start: int
    lines: tuple[str, ...]

    def text(self) -> str:
        return "\n".join(self.lines).strip()

    def tokens(self) -> Sequence[Token]:
        return MarkdownIt("commonmark").parse("\n".join(self.lines))

    def wrong(self, line: int, what: str) -> HandbookError:
        return HandbookError(f"{self.name}, line {self.start + line}: {what}")

    def items(self, shape: re.Pattern[str], shown: str) -> Iterator[tuple[str, ...]]:
        for token in self.tokens():
            if token.type == "inline":
                line = token.map[0] if token.map else 0
                found = shape.fullmatch(token.content)
                if token.level == 1 or found is None:
                    raise self.wrong(line, f"that is no item of a list such as “{shown}”.")
                yield tuple(" ".join(one.split()) for one in found.groups())


def _parts(text: str, name: str) -> Iterator[_Part]:
    lines = text.splitlines()
    starts = [place for place, line in enumerate(lines) if line.startswith("## ")]
    found = [lines[place].removeprefix("## ").strip() for place in starts]
    if tuple(found) != HEADINGS:
        raise HandbookError(
            f"{name}: its headings are {', '.join(found) or 'none'}; they have to be "
            f"{', '.join(HEADINGS)}, in this order."
        )
    for start, end in zip(starts, [*starts[1:], len(lines)], strict=True):
        yield _Part(name, start + 2, tuple(lines[start + 1 : end]))


def _steps(part: _Part) -> Iterator[Step]:
    words: list[str] = []
    code: tuple[int, str] | None = None
    for token in part.tokens():
        line = token.map[0] if token.map else 0
        if token.type == "fence" and token.info == "python" and code is None:
            code = (line, token.content)
        elif token.type == "fence" and token.info == "text" and code is not None:
            yield Step("\n\n".join(words), code[1], token.content)
            words, code = [], None
        elif token.type == "fence" or (token.type == "inline" and code is not None):
            raise part.wrong(line, "behind a `python` block comes a `text` block with its output.")
        elif token.type == "inline":
            words.append(token.content)
    if code is not None or words:
        last = code[0] if code else len(part.lines) - 1
        raise part.wrong(last, "the last step lacks what it prints, as a `text` block.")


def _path(part: _Part) -> Path:
    first, _, words = part.text().partition("\n")
    exercises = tuple(first.split())
    if not exercises or not all(re.fullmatch(r"\d+\.\d+", one) for one in exercises):
        raise part.wrong(0, f"{first!r} is no line of exercises, as 2.1 2.2 2.5 is.")
    return Path(exercises, words.strip())
