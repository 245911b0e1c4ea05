"""The reader guesses, sees the guess in the picture, and only then the answer.

A live figure keeps one `OwnGuess` in its state and asks it for controls and words:

* While `is_open`, scenes show nothing of the answer: neither drawn, nor in title, text or spoken
  words. The guess is drawn as soon as it is there, on a line by `figures.drawing.flags`.
* It is given by dragging or pressing a part, or in the field that `controls` returns; all of these
  are the action "guess". The action "answer" opens the answer; without a guess it is refused.
* A guess that the workbook holds in a variable is handed on: `OwnGuess.of(question, my_guess)`.

In a figure, with `self.guess` as its state:

    actions = {"guess": self._guessed, "answer": self._answered}

    def _guessed(self, text):
        self.guess = self.guess.given_as(str(whole_number(text, 0, 60)))
        return self._draw()

    def _answered(self, _):
        self.guess = self.guess.answered()
        return self._draw()
"""

__all__ = ["OwnGuess"]

from dataclasses import dataclass, replace

from course_lib.widgets.touch.as_written import RefusedError
from course_lib.widgets.touch.touch_figure import Button, Control, Written


@dataclass(frozen=True, slots=True)
class OwnGuess:
    """A question, the guess as people write it (None: not yet), and whether the answer is hidden.

    >>> guess = OwnGuess("How many octets has the frame?").given_as("35")
    >>> guess.words(), guess.answered().words("60")
    ('Your guess: 35. Change it, or press “Show the answer”.', 'Your guess: 35. The answer: 60.')
    """

    question: str
    given: str | None = None
    is_open: bool = True

    @classmethod
    def of(cls, question: str, guess: object) -> "OwnGuess":
        """Return a question with the guess that a variable of the workbook holds; None is none."""
        return cls(question, None if guess is None else str(guess))

    def given_as(self, given: str) -> "OwnGuess":
        """Return the same with a guess. Raises `RefusedError` when the answer is out."""
        if not self.is_open:
            raise RefusedError("The answer is out already.")
        return replace(self, given=given)

    def answered(self) -> "OwnGuess":
        """Return the same with the answer out. Raises `RefusedError` when there is no guess."""
        if self.given is None:
            raise RefusedError(f"Guess first. {self.question}")
        return replace(self, is_open=False)

    def asked_again(self, question: str) -> "OwnGuess":
        """Return a new question without a guess."""
        return OwnGuess(question)

    def controls(self, letters: int = 8) -> tuple[Control, ...]:
        """Return a field for the guess and a button for the answer; nothing once that is out.

        `letters` says how wide the field is; 0: the guess is not typed, and there is none.
        """
        if not self.is_open:
            return ()
        button = Button("answer", "Show the answer")
        if not letters:
            return (button,)
        return (Written("guess", "Your guess", self.given or "", letters), button)

    def words(self, answer: str = "") -> str:
        """Return the sentence that stands above the picture; `answer` is said once it is out."""
        if self.given is None:
            return self.question
        mine = f"Your guess: {self.given}."
        if self.is_open:
            return f"{mine} Change it, or press “Show the answer”."
        same = ", as you guessed" if answer.casefold() == self.given.casefold() else ""
        return f"{mine} The answer: {answer}{same}."
