"""What a `with` block closes in its end, whatever happened in it."""

__all__ = ["ClosedInTheEnd"]

from types import TracebackType
from typing import Self


class ClosedInTheEnd:
    """Something to be used in a `with` block; `close` says what then has to be taken away."""

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Take away what is there: nothing, unless it is said otherwise."""
