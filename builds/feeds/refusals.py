"""Why a deed on a feed cannot be."""


class Refused(ValueError):
    """A feed that cannot be made, said in one sentence."""


class Overtaken(Refused):
    """Somebody else revoked it first; says who."""
