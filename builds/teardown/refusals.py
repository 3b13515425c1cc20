"""What taking apart refuses."""


class Refused(ValueError):
    """A deed of taking apart that cannot be, said in one sentence."""
