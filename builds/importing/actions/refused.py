"""What an import refuses, each in one sentence."""


class Refused(ValueError):
    """A deed on an import that cannot be done."""


class Overtaken(Refused):
    """Somebody else has changed the import first; says who and what."""
