"""What dates, their odds and what drives them are called."""

from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from builds.queue.states import percent
from builds.queue.values import ANSWER, CARRIER, ITEM, PARTS, PAYMENT, SHOP
from shop.diary.forecast import HANDS
from shop.web.dated import dated

DRIVES = {
    HANDS: gettext_lazy("hands"),
    PARTS: gettext_lazy("parts"),
    ANSWER: gettext_lazy("the customer's answer"),
    PAYMENT: gettext_lazy("a payment"),
    ITEM: gettext_lazy("what the customer sends"),
    CARRIER: gettext_lazy("the carrier"),
    SHOP: gettext_lazy("the shop itself"),
}
AWAITED = {
    ITEM: gettext_lazy("until the hilt is here"),
    ANSWER: gettext_lazy("until the customer says yes to the quote"),
    PAYMENT: gettext_lazy("until the deposit is in"),
}
DAY_H = 24
KEPT_WHOLE = "\u00a0"  # a day and a figure are not broken over two lines


def percent_words(odds: float) -> str:
    """The odds in whole per cent; never all, never nothing: a forecast does not know that."""
    return (_("%d %%") % percent(odds)).replace(" ", KEPT_WHOLE)


def in_ten(odds: float) -> str:
    """The odds for somebody who is no reader of figures; rounded down."""
    tenths = int(odds * 10 + 1e-9)
    if odds >= 0.95:
        return _("almost certain")
    return _("about %d in 10") % tenths if tenths else _("less than 1 in 10")


def day_words(day: date | None) -> str:
    """A day in words; one out of sight is said to be."""
    if day is None:
        return _("in over two years")
    return dated(day, "short").replace(" ", KEPT_WHOLE)


def drive_words(drives: str, waits_h: dict[str, float]) -> str:
    """What a build waits for the longest, and about how many days; nothing for under one."""
    days = round(waits_h.get(drives, 0.0) / DAY_H)
    if not drives or days < 1:
        return ""
    about = ngettext("about %d day", "about %d days", days) % days
    return _("waits for %(what)s, %(days)s") % {"what": DRIVES.get(drives, drives), "days": about}


def why_words(drives: str) -> str:
    """What makes a build late, by what it waits for the longest."""
    if drives not in DRIVES:
        return _("the work itself takes longer")
    return _("waits for %s") % DRIVES[drives]


def range_words(first: date | None, last: date | None) -> str:
    """From one day to another; one day where both are the same; no end that is out of sight."""
    if first == last:
        return day_words(first)
    if last is None:
        return _("from %s on") % day_words(first)
    return _("%(first)s to %(last)s") % {"first": day_words(first), "last": day_words(last)}
