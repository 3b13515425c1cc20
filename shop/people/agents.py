"""What a browser says of itself, in a few plain words: pure, and without a list of names.

A device is told apart by what it calls itself. Nothing is decided by it: whoever wants to may send
anything, so it is cut short and shown as text alone.
"""

import re

from django.utils.translation import gettext as _

LONGEST = 200
# Signs of the protocol, not of a browser: they stand in nearly all of them.
_COMMON = {"Mozilla", "AppleWebKit", "Gecko", "Version", "Mobile", "Safari"}
_TOKEN = re.compile(r"([A-Za-z][\w.-]*)/[\d.]+")
_WORD = re.compile(r"[A-Za-z]+")


def plain_words(agent: str) -> str:
    """Such as "Firefox on Linux"; of what says nothing, that it is unknown."""
    browser, system = _browser(agent), _system(agent)
    kind = _("telephone") if "Mobi" in agent else ""
    where = ", ".join(part for part in (system, kind) if part)
    if browser and where:
        return _("%(browser)s on %(system)s") % {"browser": browser, "system": where}
    return browser or where or _("a device that does not say what it is")


def _browser(agent: str) -> str:
    tokens = [str(token) for token in _TOKEN.findall(agent)]
    own = [token for token in tokens if token not in _COMMON]
    if own:
        return own[-1]
    return "Safari" if "Safari" in tokens else ""


def _system(agent: str) -> str:
    """The first word of the part in brackets that names the system; X11 names the screen alone."""
    _before, _bracket, rest = agent.partition("(")
    parts = [part.strip() for part in rest.partition(")")[0].split(";")]
    named = [part for part in parts if _WORD.match(part) and part not in {"X11", "U", "compatible"}]
    if len(named) > 1 and named[0] == "Linux":
        named = named[1:]
    word = _WORD.match(named[0]) if named else None
    return word[0] if word else ""
