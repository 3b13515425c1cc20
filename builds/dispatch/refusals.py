"""Why a deed with a parcel cannot be."""


class Refused(ValueError):
    """A deed with a parcel that cannot be, said in one sentence."""
