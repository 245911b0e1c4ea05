"""The questions of the concept test: four choices each, three of them with a belief behind."""

__all__ = ["FORMS", "LETTERS", "Choice", "Form", "Question", "questions"]

import functools
import tomllib
from pathlib import Path
from typing import Any, Literal, NamedTuple

Form = Literal["a", "b"]
FORMS: tuple[Form, Form] = ("a", "b")
LETTERS = "abcd"
BANK = Path(__file__).parent / "concept_questions.toml"


class Choice(NamedTuple):
    """One choice, and the belief behind it; the right one has none."""

    text: str
    belief: str = ""


class Question(NamedTuple):
    """One question in one form; `exercise` is where its beliefs are listed."""

    id: str
    exercise: str
    asks: str
    choices: tuple[Choice, ...]

    @property
    def right(self) -> str:
        """Return the letter of the right choice."""
        return next(letter for letter, one in self.by_letter.items() if not one.belief)

    @property
    def by_letter(self) -> dict[str, Choice]:
        """Return the choices by their letters."""
        return dict(zip(LETTERS, self.choices, strict=True))


@functools.cache
def questions(form: Form) -> tuple[Question, ...]:
    """Return all questions of a form; the same place in both forms asks for the same idea."""
    read = tomllib.loads(BANK.read_text(encoding="utf-8"))
    return tuple(_question(one["id"], one["exercise"], one[form]) for one in read["question"])


def _question(name: str, exercise: str, told: dict[str, Any]) -> Question:
    choices = [Choice(text, belief) for belief, text in told["wrong"].items()]
    choices.insert(LETTERS.index(told["place"]), Choice(told["right"]))
    return Question(name, exercise, told["asks"], tuple(choices))
