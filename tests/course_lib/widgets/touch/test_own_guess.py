"""Nothing is answered before the reader has guessed."""

import pytest

from course_lib.widgets.touch.as_written import RefusedError
from course_lib.widgets.touch.own_guess import OwnGuess

ASKED = OwnGuess("How many octets has the frame?")
GUESSED = ASKED.given_as("35")


@pytest.mark.parametrize(
    ("guess", "answer", "words"),
    [
        (ASKED, "", "How many octets has the frame?"),
        (GUESSED, "", "Your guess: 35. Change it, or press “Show the answer”."),
        (GUESSED, "60", "Your guess: 35. Change it, or press “Show the answer”."),
        (GUESSED.answered(), "60", "Your guess: 35. The answer: 60."),
        (GUESSED.answered(), "35", "Your guess: 35. The answer: 35, as you guessed."),
        (ASKED.given_as("gull").answered(), "Gull",
         "Your guess: gull. The answer: Gull, as you guessed."),
    ],
)  # fmt: skip
def test_words_hold_the_answer_only_once_it_is_out(guess, answer, words):
    assert guess.words(answer) == words


@pytest.mark.parametrize(
    ("guess", "letters", "actions"),
    [
        (ASKED, 8, ["guess", "answer"]),
        (GUESSED, 8, ["guess", "answer"]),
        (GUESSED, 0, ["answer"]),
        (GUESSED.answered(), 8, []),
    ],
)
def test_controls_ask_until_the_answer_is_out(guess, letters, actions):
    assert [one.action for one in guess.controls(letters)] == actions


def test_the_field_holds_what_was_guessed():
    assert [one.now for one in (ASKED.controls()[0], GUESSED.controls()[0])] == ["", "35"]


def test_an_answer_without_a_guess_is_refused_with_the_question():
    with pytest.raises(RefusedError, match=r"Guess first. How many octets has the frame\?"):
        ASKED.answered()


def test_a_guess_may_change_until_the_answer_is_out_and_not_afterwards():
    assert GUESSED.given_as("46").given == "46"
    with pytest.raises(RefusedError, match="The answer is out already"):
        GUESSED.answered().given_as("60")


@pytest.mark.parametrize(
    ("variable", "given"), [(None, None), (35, "35"), (0, "0"), ("Gull", "Gull")]
)
def test_a_guess_of_the_workbook_is_taken_over(variable, given):
    guess = OwnGuess.of("Who?", variable)
    assert guess.given == given
    assert guess.asked_again("And now?") == OwnGuess("And now?")
