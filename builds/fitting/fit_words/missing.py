"""What is missing before the fit can be told, with where it is met."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.fitting.layout import Lack

HILT, PARTS, HERE = "hilt", "parts", "here"


@dataclass(frozen=True)
class Missing:
    """One thing that is missing; ``where`` is the page that it is met on."""

    text: str
    where: str
    blocks: bool = True  # without it there is no fit to tell
    section: int = 0  # whose measure it is


def missing(lack: Lack) -> Missing:
    """A lack in words."""
    of = {"of": lack.of}
    known = {
        "no-sections": (_("Nothing of this hilt is written down: no section, no bore."), HILT),
        "no-length": (_("The length of the %(of)s is not known.") % of, HILT),
        "no-bore": (_("The bore of the %(of)s is not known, and parts sit in it.") % of, HILT),
        "no-socket": (_("No section is marked as the one that holds the blade."), HILT),
        "no-socket-bore": (_("The socket's bore is not known (%(of)s).") % of, HILT),
        "no-socket-depth": (_("The socket's depth is not known (%(of)s).") % of, HILT),
        "no-parts": (_("No parts are chosen."), PARTS),
        "no-cell": (_("No cell is chosen."), PARTS),
        "no-board": (_("No sound board is chosen."), PARTS),
        "not-placed": (_("Where does it sit? %(of)s") % of, HERE),
        "no-size": (_("Sizes are missing: %(of)s.") % of, PARTS),
    }
    text, where = known[lack.code]
    blocks = not lack.code.startswith("no-socket")
    return Missing(text, where, blocks=blocks, section=lack.section)
