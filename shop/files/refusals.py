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


class TooManyPixels(Refused):
    """More pixels, over all frames, than are decoded here."""

    sentence = _(
        "This picture has too many pixels: at most 100 million in a JPEG, 50 million in others."
    )


class Bomb(TooManyPixels):
    """So many pixels that the file can only be meant to exhaust the machine."""

    sentence = _("This picture unpacks to far more than a photo. It was not kept.")
