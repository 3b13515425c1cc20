"""How the shop speaks: its own language, its days, hours and paper."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from celery import Task
from django.conf import settings

from shop.house.models import House
from shop.house.queries import house
from shop.web.speech import speaking


def known(language: str) -> str:
    """A language that there are words in; empty for any other."""
    return language if language in dict(settings.LANGUAGES) else ""


@contextmanager
def speaking_as(shop: House, language: str = "") -> Iterator[None]:
    """Speak as the shop does, in a language of the listener's own where they have one."""
    spoken = known(language) or known(shop.language) or settings.LANGUAGE_CODE
    with speaking(spoken, shop.date_form, shop.clock_form):
        yield


@contextmanager
def speaking_to_the_shop() -> Iterator[None]:
    """Speak as the shop does, to itself: its own mails, and what tasks write down."""
    with speaking_as(house()):
        yield


class Spoken(Task):  # type: ignore[misc]  # Celery has no types
    """A task speaks as the shop does: nobody asks for it, and what it writes down is the shop's."""

    abstract = True

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        with speaking_to_the_shop():
            return super().__call__(*args, **kwargs)
