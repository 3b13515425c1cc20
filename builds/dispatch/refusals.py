"""Why a deed with a parcel cannot be."""


class Refused(ValueError):
    """A deed with a parcel that cannot be, said in one sentence."""


class Overtaken(Refused):
    """Another tablet was first; says who."""
