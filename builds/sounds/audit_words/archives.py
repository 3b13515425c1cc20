"""Why sound files are not taken: one sentence for each code of ``audit.archives``."""

from typing import Any

from django.utils.translation import gettext_lazy as _

from builds.sounds.audit.archives import ArchiveRefused

WORDS: dict[str, Any] = {
    "no-zip": _("This is no zip archive. Choose a zip, or the sound files themselves."),
    "broken": _("This zip archive is damaged. Have it made or sent again."),
    "split": _("This zip archive is one of several parts, or of a kind made for huge files. Make "
               "one plain zip of the sounds."),
    "locked": _("This zip archive wants a password. Unpack it and send the files."),
    "method": _("This zip archive is packed in a way that is not read here. Make a plain zip of "
                "the sounds."),
    "link": _("“%(path)s” in this archive is a link to another file. It was not taken."),
    "path": _("“%(path)s” in this archive leads out of its folder. It was not taken."),
    "name": _("“%(path)s” has signs in its name that no card can hold. Rename it and send it "
              "again."),
    "long-path": _("“%(path)s…” is longer than %(most)d letters with its folders. Shorten it and "
                   "send it again."),
    "twins": _("“%(path)s” and “%(twin)s” are one name to a card, which knows no capitals. "
               "Rename one and send them again."),
    "many-files": _("That is more than %(most)d files. Send one sound set at a time."),
    "large-file": _("“%(path)s” is larger than %(most)d MB."),
    "bomb": _("Unpacked, this is more than %(most)d MB: no sound set is. It was not taken."),
    "no-files": _("There is no file in it."),
}  # fmt: skip


def said(error: ArchiveRefused) -> str:
    """The sentence of a refusal."""
    return str(WORDS[error.code]) % error.figures
