"""What the post room refuses, with a sentence each."""


class Refused(ValueError):
    """A deed that was not done; ``str()`` gives the sentence for the page."""
