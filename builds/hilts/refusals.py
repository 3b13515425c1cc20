"""What the rules of a hilt refuse, each in one sentence for the person who typed."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from shop.history.models import Entry


class Refused(ValueError):
    """A deed on a hilt that cannot be, said in one sentence."""


class Overtaken(Refused):
    """Someone else changed the same thing first: says who."""

    def __init__(self, about: str) -> None:
        written = Entry.objects.filter(about=about).exclude(verb="measured")
        last = written.select_related("actor").order_by("-pk").first()
        who = last.actor.name if last and last.actor else _("Somebody")
        super().__init__(
            _("%(who)s changed this first. Look at what stands there now, then save again.")
            % {"who": who}
        )


class GoesRound(Refused):
    """Steps that would wait for each other, so that none could come off: names them."""

    def __init__(self, words: Iterable[str]) -> None:
        self.words = tuple(words)
        ring = " → ".join((*self.words, *self.words[:1]))
        super().__init__(
            _("That goes round in a circle, so nothing could come off first: %(ring)s.")
            % {"ring": ring}
        )
