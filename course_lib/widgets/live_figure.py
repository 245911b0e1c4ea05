"""What all live figures share: a box of controls, a line of words, a picture, and its text.

* A control that changes leads to one call of a plain function and to new markup in widgets that
  stay where they are. Nothing is taken down and built up again, so nothing flickers.
* A callback that fails says so in the figure. Jupyter would put the error into a log that nobody
  opens. With HOP_BY_HOP_STRICT=1 in the environment, as in tests, it is raised as well.
* Every control has a description and can be worked from the keyboard. A slider of ipywidgets has no
  name that a screen reader could say, so a field or a list with a name stands beside it. The words
  and the text of the picture are text, for whoever listens to the page.
"""

__all__ = [
    "CallbackFailed",
    "LiveFigure",
    "choice",
    "looks",
    "raise_if_strict",
    "slider_beside",
    "status",
]

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import ipywidgets as widgets

from course_lib.figures.drawing.svg import Figure, escape

_TEXT = "line-height:1.45;margin:0"
_STRICT = "HOP_BY_HOP_STRICT"


class CallbackFailed(BaseException):
    """A callback failed, in strict mode.

    It is no `Exception`, because ipywidgets logs and forgets every `Exception` of a button.
    """


def raise_if_strict(problem: Exception) -> None:
    """Raise what went wrong in a callback, if the environment asks for it."""
    if os.environ.get(_STRICT) == "1":
        raise CallbackFailed(str(problem)) from problem


class LiveFigure:
    """A figure with controls above it. Show it as the last value of a cell."""

    def __init__(self, *rows: Sequence[widgets.Widget]) -> None:
        self.words = widgets.HTML()
        self.notice = widgets.HTML()
        self.picture = widgets.HTML()
        self.twin = widgets.HTML()
        controls = [
            widgets.HBox(list(row), layout={"flex_flow": "row wrap", "align_items": "center"})
            for row in rows
        ]
        self.box = widgets.VBox([*controls, self.words, self.notice, self.picture, self.twin])
        self._figures: Sequence[Figure] = ()

    def draw(self, words: Sequence[str], *figures: Figure) -> None:
        """Show sentences and figures in the place of those that are shown now."""
        self._figures = figures
        self.words.value = status(words)
        self.picture.value = "".join(figure.svg for figure in figures)
        text = "\n\n".join(figure.text for figure in figures)
        self.twin.value = (
            f'<pre style="{_TEXT};margin-top:8px;overflow-x:auto">{escape(text)}</pre>'
        )

    def when_changed(self, callback: Callable[[], None], *controls: widgets.Widget) -> None:
        """Call `callback` whenever the value of a control changes."""
        for control in controls:
            control.observe(lambda _: self._run(callback), names="value")

    def button(self, words: str, callback: Callable[[], None]) -> widgets.Button:
        """Return a button that calls `callback` whenever it is pressed."""
        button = widgets.Button(description=words)
        button.on_click(lambda _: self._run(callback))
        return button

    def _run(self, callback: Callable[[], None]) -> None:
        with self.telling():
            callback()

    @contextmanager
    def telling(self) -> Iterator[None]:
        """Tell in the figure what goes wrong."""
        self.notice.value = ""  # before, not after: a callback may have set off another one
        try:
            yield
        except Exception as problem:  # whatever it is, the reader has to see it
            self.notice.value = (
                f'<div role="alert" style="{_TEXT}"><strong>The figure was not redrawn.</strong> '
                f"{escape(f'{type(problem).__name__}: {problem}')}</div>"
            )
            raise_if_strict(problem)

    def _repr_mimebundle_(self, **options: Any) -> dict[str, Any]:
        """Return the live figure, and still pictures for pages on which nothing can be live."""
        bundle: dict[str, Any] = dict(self.box._repr_mimebundle_(**options))
        bundle["text/html"] = "".join(figure.html() for figure in self._figures)
        bundle["text/plain"] = "\n\n".join(figure.text for figure in self._figures)
        return bundle


def looks(name: str, whole: str | None = None) -> dict[str, Any]:
    """Return how wide the name of a control is, and the whole of it."""
    return {"style": {"description_width": name}, "layout": {"width": whole}}


def choice(
    name: str, options: Sequence[object], chosen: object, **more: dict[str, Any]
) -> widgets.Dropdown:
    """Return a list to choose from, with one of its `options` chosen."""
    return widgets.Dropdown(options=options, value=chosen, description=name, **more)


def slider_beside(number: widgets.BoundedIntText) -> widgets.IntSlider:
    """Return a slider that moves with a number."""
    slider = widgets.IntSlider(
        number.value, number.min, number.max, readout=False,
        tooltip=f"{number.description}: slide to choose",
    )  # fmt: skip
    for what in ("max", "value"):
        widgets.link((number, what), (slider, what))
    return slider


def status(sentences: Sequence[str]) -> str:
    """Return sentences as markup that a screen reader reads out when it changes."""
    lines = "".join(f"<div>{escape(sentence)}</div>" for sentence in sentences)
    return f'<div role="status" style="{_TEXT}">{lines}</div>'
