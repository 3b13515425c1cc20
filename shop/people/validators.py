"""What a password may not be made of, beside what Django itself refuses."""

import re

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from shop.house.queries import house
from shop.people.models import User

LEAST_BESIDE = 6  # signs that are neither the shop's name nor the tool's


class NotOfTheShop:
    """Refuses a password that is little more than the name of the shop or of the tool."""

    def validate(self, password: str, user: User | None = None) -> None:
        """Raise ValidationError where the rest would be too short."""
        left = _squeezed(password)
        for word in (_squeezed(house().name), "hiltyard"):
            left = left.replace(word, "") if word else left
        if len(left) < LEAST_BESIDE <= len(_squeezed(password)):
            raise ValidationError(_("Whoever knows the shop would try that. Take other words."))

    def get_help_text(self) -> str:
        return _("Not the name of the shop.")


def _squeezed(text: str) -> str:
    return re.sub(r"[\W_]", "", text.casefold())
