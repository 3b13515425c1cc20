"""Why a deed of the hand-over cannot be."""


class Refused(ValueError):
    """A deed of the hand-over that cannot be, said in one sentence."""
