"""Sentences that stand beside the desk's fields."""

from datetime import datetime, timedelta

from django.utils.text import get_text_list
from django.utils.translation import gettext as _

from shop.diary.queries import calendar
from shop.house.queries import house
from shop.web.dated import dated

NEXT = 3  # dispatch days named: enough to show the rhythm of the week


def dispatch_hint(moment: datetime) -> str:
    """Names the next days on which parcels leave."""
    diary = calendar(house())
    if not diary.dispatch_weekdays:
        return _("No dispatch days are set yet; see Settings.")
    days: list[str] = []
    day = diary.on_or_after(diary.today(moment))
    while day and len(days) < NEXT:
        days.append(dated(day, "short"))
        day = diary.on_or_after(day + timedelta(days=1))
    if not days:
        return _("Nothing leaves within a year; see Closures in Settings.")
    return _("A dispatch day. The next ones are %s.") % get_text_list(days, _("and"))
