"""With HOP_BY_HOP_STRICT=1 in the environment, as in tests, what fails in a figure is raised too.

Elsewhere it is only said in the figure, since a page can't do anything with an error.
"""

__all__ = ["CallbackFailed", "raise_if_strict"]

import os


class CallbackFailed(BaseException):
    """An action failed, in strict mode.

    It is no `Exception`, because ipywidgets logs and forgets every `Exception` of a message.
    """


def raise_if_strict(problem: Exception) -> None:
    """Raise what went wrong in an action, if the environment asks for it."""
    if os.environ.get("HOP_BY_HOP_STRICT") == "1":
        raise CallbackFailed(str(problem)) from problem
