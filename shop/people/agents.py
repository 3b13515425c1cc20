"""What a browser says of itself, in a few plain words: pure, and without a list of names.

Nothing is decided by it: whoever wants to may send anything, so it is cut short and shown as text
alone. "Mobi" is the sign by which browsers tell a hand-held device.
"""

from django.utils.translation import gettext as _

LONGEST = 200
SHOWN = 2  # of what stands in the first brackets: the system, and its version


def plain_words(agent: str) -> str:
    """Such as "telephone (System 14)"; of what says nothing, that it is unknown."""
    if not any(letter.isalpha() for letter in agent):
        return _("a device that does not say what it is")
    kind = _("telephone") if "Mobi" in agent else _("computer or tablet")
    system = _system(agent)
    return f"{kind} ({system})" if system else kind


def _system(agent: str) -> str:
    _before, _bracket, rest = agent.partition("(")
    parts = (part.strip() for part in rest.partition(")")[0].split(";"))
    return ", ".join([part for part in parts if part][:SHOWN])
