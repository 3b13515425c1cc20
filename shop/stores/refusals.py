"""What the stores refuse, each in one sentence for the person who tapped."""


class Refused(ValueError):
    """A deed that the stores do not allow; ``str()`` gives the sentence for the page."""


class Short(Refused):
    """There is not as much of a part as was wanted."""


class Overtaken(Refused):
    """Somebody else was first: says who, and that nothing was changed."""
