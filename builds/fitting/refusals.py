"""What the parts list and the wiring list refuse, each in one sentence."""


class Refused(ValueError):
    """A deed that cannot be; ``str()`` gives the sentence for the page."""


class Overtaken(Refused):
    """Somebody else was first: says who, and that nothing was changed."""
