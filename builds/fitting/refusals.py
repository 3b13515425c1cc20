"""What the parts list and the wiring list refuse, each in one sentence."""


class Refused(ValueError):
    """A deed that cannot be; ``str()`` gives the sentence for the page."""


class Overtaken(Refused):
    """Somebody else was first: says who, and that nothing was changed."""


class NotPlaced(Refused):
    """Of several parts some cannot sit where they were put; none was placed."""

    def __init__(self, wrong: dict[int, str]) -> None:
        super().__init__(" ".join(wrong.values()))
        self.wrong = wrong  # by the part's key
