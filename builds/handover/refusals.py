"""Why a deed of the hand-over cannot be."""

from django.utils.translation import gettext as _

from shop.history.queries import entries_about


class Refused(ValueError):
    """A deed of the hand-over that cannot be, said in one sentence."""


class Overtaken(Refused):
    """Someone else changed it first: says who and what."""

    def __init__(self, about: str) -> None:
        last = next(iter(entries_about(about, limit=1)), None)
        who = last.who if last and last.who else _("Somebody else")
        what = last.text if last else ""
        super().__init__(
            _("%(who)s was first: %(what)s. Nothing of yours was changed; look, then do it again.")
            % {"who": who, "what": what}
        )
