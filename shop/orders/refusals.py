"""What a deed on orders refuses, said in one sentence."""


class Refused(ValueError):
    """A deed that cannot be, said in one sentence."""


class Overtaken(Refused):
    """Somebody else was first: says who or what, and that nothing was changed."""
