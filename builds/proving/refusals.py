"""Why a deed of the bench test cannot be."""

from collections.abc import Mapping


class Refused(ValueError):
    """A deed of the bench test that cannot be, said in one sentence."""


class LinesRefused(Refused):
    """Readings that cannot be kept: the sentence for each line, by its key."""

    def __init__(self, lines: Mapping[int, str]) -> None:
        self.lines = dict(lines)
        super().__init__(" ".join(self.lines.values()))
