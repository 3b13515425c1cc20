"""The one door by which days and hours are put into words, on pages, papers and in messages."""

from datetime import date, datetime, time

from django.utils.dateformat import format as of_day
from django.utils.dateformat import time_format as of_hour

from shop.web.speech import patterns


def dated(value: date | datetime | time | None, form: str) -> str:
    """A day or an hour in words, as the reader's language and the shop write it.

    :param value: a moment stands as it is: put it into the shop's zone first.
    :param form: one of the names in ``shop.web.speech``.
    :returns: without a full stop at its end (4. Dez), as it may end a sentence.
    """
    if value is None or value == "":
        return ""
    put = of_hour if isinstance(value, time) else of_day
    said = put(value, patterns()[form])  # type: ignore[arg-type]  # each takes its own kind
    return said.removesuffix(".")
