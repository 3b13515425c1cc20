"""What a deed on orders refuses, said in one sentence."""

from django.utils.translation import gettext as _

from shop.web.cards import holds_card_number


class Refused(ValueError):
    """A deed that cannot be, said in one sentence."""


class Overtaken(Refused):
    """Somebody else was first: says who or what, and that nothing was changed."""


def refuse_card_numbers(*texts: str) -> None:
    """No number of a card is ever kept.

    :raises Refused: where one stands in a text.
    """
    if any(holds_card_number(text) for text in texts):
        raise Refused(
            _("That looks like the number of a card. None is ever kept here: leave it out.")
        )
