"""Why a file is not kept: one exception a reason, each with the sentence that the page shows."""

from django.utils.translation import gettext_lazy as _


class Refused(ValueError):
    """A file that is not kept; ``str()`` gives the sentence."""

    sentence = _("This file was not kept.")

    def __str__(self) -> str:
        return str(self.sentence)


class Empty(Refused):
    """No bytes came."""

    sentence = _("This file is empty. Choose it again.")


class TooLarge(Refused):
    """More bytes than one photo may have."""

    sentence = _("This file is larger than 50 MB. Choose a smaller one.")


class LargerThan(TooLarge):
    """More bytes than a file of its kind may have."""

    def __init__(self, most: int) -> None:
        super().__init__(most)
        self.most = most

    def __str__(self) -> str:
        return _("This file is larger than %(most)d MB. Choose a smaller one.") % {
            "most": self.most // 1_000_000
        }


class NotAPicture(Refused):
    """The content is none of the kinds of picture that are kept, whatever its name says."""

    sentence = _("This is not a picture in JPEG, HEIC, PNG or WebP.")


class Broken(Refused):
    """The picture ends too early or cannot be read to its end."""

    sentence = _("This picture did not come whole. Send it again.")


class NotAFilm(Refused):
    """The content is none of the kinds of film that browsers play, whatever its name says."""

    sentence = _("This is not a film in MP4, MOV, WebM or Matroska.")


class LargerFilm(TooLarge):
    """A film beyond what the settings let in."""

    def __init__(self, most_mb: int) -> None:
        super().__init__(most_mb)
        self.most_mb = most_mb

    def __str__(self) -> str:
        said = _("This film is larger than %(most)d MB, the most that Settings let in.")
        return said % {"most": self.most_mb}


class DiskFull(Refused):
    """The shop's disk has no room for it."""

    sentence = _("The disk of the shop is full. Nothing is lost: make room on it, then go on.")


class NoRoom(DiskFull):
    """The shop's disk has not as much room as the file needs."""

    def __init__(self, free: int, needed: int) -> None:
        super().__init__(free, needed)
        self.free, self.needed = free, needed

    def __str__(self) -> str:
        said = _(
            "The disk of the shop has %(free)d MB left and this film needs %(needed)d MB. Make "
            "room on it first."
        )
        return said % {"free": self.free // 1_000_000, "needed": -(-self.needed // 1_000_000)}


class UploadEnded(Refused):
    """It was kept, given up or swept."""

    sentence = _("This upload has ended. Choose the file again.")


class NotWhole(Refused):
    """Not all of it is here."""

    sentence = _("This film did not come whole. Choose the same file again: it goes on.")


class AnotherOffset(NotWhole):
    """A piece that does not begin where the file on disk ends."""

    sentence = _("The file is further, or less far, than that. It goes on from what is here.")

    def __init__(self, received: int) -> None:
        super().__init__(received)
        self.received = received


class TooManyPixels(Refused):
    """More pixels, over all frames, than are decoded here."""

    sentence = _(
        "This picture has too many pixels: at most 100 million in a JPEG, 50 million in others."
    )


class Bomb(TooManyPixels):
    """So many pixels that the file can only be meant to exhaust the machine."""

    sentence = _("This picture unpacks to far more than a photo. It was not kept.")


class NoStore(Refused):
    """The store of files does not answer."""

    sentence = _("The store of files does not answer. Nothing was kept: try again in a minute.")
