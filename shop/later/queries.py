"""When a deed was tapped that comes later."""

from datetime import datetime, timedelta

from django.http import HttpRequest

from shop.later.models import KEPT
from shop.web.partials import asks_words


def tapped_at(request: HttpRequest, now: datetime) -> datetime:
    """The moment of the tap, for what is counted by the clock; now, unless the deed has waited.

    The browser says how long ago it was, not when: its clock may be wrong.
    """
    age = request.headers.get("X-Deed-Age", "") if asks_words(request) else ""
    waited = timedelta(seconds=int(age[:9])) if age.isascii() and age.isdigit() else timedelta()
    return now - min(waited, KEPT)
