"""What went wrong with a back-up: kept by its name, and said in the reader's language when read."""

import errno

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

CUT_OFF = "cut off"
LONGEST = 300  # signs that are kept of what has no name here
_SAID = {
    CUT_OFF: _("It was cut off: the shop was stopped, or the machine."),
    "locked": _(
        "It is locked, and no passphrase is set here. Under “Locked by a passphrase”, type the "
        "one that it was made with; then check it again."
    ),
    "other passphrase": _(
        "The passphrase that is set now does not open it: it was made with another one. "
        "Whoever restores it needs that one."
    ),
    "damaged": _("It is damaged or was cut off, as its checksums show. Use another back-up."),
    "foreign": _("It holds what no back-up of this shop holds. Use another back-up."),
    "newer": _("It was made by a newer Hiltyard. Bring this one up to date first."),
    "unreadable": _("It cannot be read. Does it still lie in the folder?"),
    "no folder": _("The folder is not there. Is its disk in its place?"),
    "no right": _("The folder cannot be written to. Choose another, or ask who runs the machine."),
    "copy": _("The copy does not read back as it was written. Its disk may be failing."),
    "full": _("The disk is full. Make room on it, or choose another folder."),
    "broken disk": _("The disk cannot be read or written. It may be failing."),
}
_OF_DISKS = {
    errno.ENOSPC: "full",
    errno.EDQUOT: "full",
    errno.EACCES: "no right",
    errno.EPERM: "no right",
    errno.EROFS: "no right",
    errno.EIO: "broken disk",
}


def named(error: BaseException) -> str:
    """What is kept of a trouble: its name, or what the machine said where it has none."""
    if trouble := getattr(error, "trouble", ""):
        return str(trouble)
    if isinstance(error, OSError) and error.errno in _OF_DISKS:
        return _OF_DISKS[error.errno]
    return " ".join(str(error).split())[:LONGEST] or type(error).__name__


def said(kept: str) -> str:
    """The same in words."""
    if not kept:
        return ""
    words = _SAID.get(kept)
    return str(words) if words else gettext("It did not work. The machine says: %s") % kept
