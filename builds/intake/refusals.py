"""What intake refuses."""


class Refused(ValueError):
    """A deed of intake that cannot be, said in one sentence."""
