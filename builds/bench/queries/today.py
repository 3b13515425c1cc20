"""What wants the shop now, in order."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.db.models import Max, Q
from django.urls import reverse
from django.utils.text import Truncator
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.bench.queries.board import leaves_on
from builds.bench.queries.dispatch import in_danger
from builds.bench.queries.rows import Row, sheet
from builds.bench.queries.telling import Telling, left_behind_untold
from builds.handover.models import Return
from builds.handover.queries.returns import owner_of, wants_word
from builds.intake.models import Arrival
from builds.intake.queries import unmatched
from builds.progress.models import Hold, Stretch
from builds.progress.states import State
from builds.progress.worked import forgotten
from builds.proving.models import Timer
from builds.proving.queries import timers_over
from builds.queue.models import Promise
from builds.queue.queries.danger import trouble, way_out
from builds.queue.queries.news import is_swallowed, later_day, untold
from builds.queue.queries.said import Names, Said, names
from shop.diary.queries import Calendar
from shop.orders.models import Answer, AnswerKind, Order, Quote, QuoteState
from shop.orders.queries import (
    answered_on_the_page,
    consents_on_the_page,
    drafts,
    name_of,
    running_out,
    unanswered,
    unanswered_since,
)
from shop.people.models import Customer
from shop.post.models import Message
from shop.post.models import State as Post
from shop.post.queries import TOLD, open_questions
from shop.stores.queries.buying import late_purchases, missing_words
from shop.stores.queries.claims import old_claims
from shop.web.dated import dated

QUIET_AFTER = timedelta(days=10)  # common practice, no source
ANSWER_WITHIN = timedelta(days=2)  # an enquiry; common practice, no source
ANSWERS_OF = timedelta(days=3)  # an answer is news for so long
ASK_AFTER = timedelta(days=7)  # a quote that waits; common practice, no source
QUESTIONS_OF = timedelta(days=60)  # an older question was answered some other way


@dataclass(frozen=True)
class Want:
    """One thing that wants somebody: what, why, and where to go."""

    what: str
    why: str
    url: str
    deed: str
    tone: str = "brass"
    tray: str = ""
    number: str = ""


def wants(found: Sequence[Row], calendar: Calendar, now: datetime) -> list[Want]:
    """Everything that wants the shop, the most pressing first."""
    behind = _left_behind(found, calendar, now)
    said = {want.number for want in behind}  # its new day is told from there
    harmed, other = _returns()
    lost = _lost(found, calendar, now)
    gone = {str(row.build) for row in lost}
    kept = _kept_untold([row for row in found if str(row.build) not in gone and not row.is_late])
    return [
        *harmed,
        *_parcels_without_a_build(),
        *_failed(),
        *_questions(now),
        *other,
        *_enquiries(now),
        *_answers_came(now),
        *_changes_to_price(),
        *_quotes_waiting(calendar, now),
        *(_not_agreed(row) for row in found if row.build.state == State.BOOKED and row.is_here),
        *(_late(row) for row in found if row.is_late and str(row.build) not in said),
        *(_nothing_leaves(row, calendar, now) for row in lost),
        *behind,
        *kept,
        *_timers_over(now),
        *_timers_forgotten(calendar, now),
        *(_can_go_on(row, held) for row in found for held in row.freed),
        *_late_orders(calendar.today(now)),
        *_chases(found, calendar, now),
        *_endangered([row for row in found if str(row.build) not in gone]),
        *_not_heard(found, now),
        *_old_claims(now),
        *(_to_ask(row) for row in found if row.asks_again),
        *(_collect(row) for row in found if row.is_for_collection and not row.missing),
    ]


def ready(found: Sequence[Row]) -> list[Row]:
    """Builds that one tap takes further."""
    return [row for row in found if row.button.is_go and row.button.deed]


def _parcels_without_a_build() -> list[Want]:
    return [_unplaced(arrival) for arrival in unmatched()[:20]]


def _unplaced(arrival: Arrival) -> Want:
    return Want(
        _("A parcel that nobody has placed"),
        _("from %(who)s, %(day)s")
        % {
            "who": arrival.sender or _("nobody named"),
            "day": dated(arrival.came_at, "short"),
        },
        reverse("bench_arrival", args=[arrival.pk]),
        _("Say whose it is"),
    )


def _failed() -> list[Want]:
    count = Message.objects.filter(state=Post.FAILED).count()
    if not count:
        return []
    return [
        Want(
            ngettext("%d message did not leave", "%d messages did not leave", count) % count,
            _("the mail server's own words stand beside each"),
            reverse("desk_messages") + "?show=failed",
            _("Look at it"),
            "stop",
        )
    ]


def _questions(now: datetime) -> list[Want]:
    """What customers wrote on their page and nobody has answered since."""
    unanswered = open_questions().filter(made_at__gte=now - QUESTIONS_OF)
    return [
        Want(
            _("%s asks") % message.customer.called if message.customer else _("A question"),
            Truncator(message.body).chars(90),
            reverse("desk_answer", args=[message.pk]),
            _("Answer"),
        )
        for message in unanswered[:20]
    ]


def _returns() -> tuple[list[Want], list[Want]]:
    """Hilts announced back that wait for the shop's word: with a harmed cell, and the others."""
    found = wants_word()
    harmed = [_announced(each) for each in found if each.is_harmed]
    return harmed[:20], [_announced(each) for each in found if not each.is_harmed][:20]


def _announced(found: Return) -> Want:
    hilt, who = found.build.hilt.name if found.build.hilt else _("A blade"), owner_of(found).called
    why, deed, part = Truncator(found.words).chars(90), _("Decide"), ""
    if found.decided_at:
        what = found.get_covered_display()
        why = _("decided: %(what)s; %(who)s was not told yet") % {"what": what, "who": who}
        deed, part = _("Tell them"), "#decision"
    if found.is_harmed:
        why = _("its cell is damaged: call %s, nothing may be posted") % who
    return Want(
        _("%(hilt)s is to come back: %(number)s") % {"hilt": hilt, "number": found},
        why,
        reverse("handover_return", args=[found.number]) + part,
        deed,
        "stop" if found.is_harmed else "brass",
    )


def _enquiries(now: datetime) -> list[Want]:
    """Who asked for something and has waited two days for an answer."""
    return [
        Want(
            _("%s asked for a job") % enquiry.who,
            ngettext("no answer for %d day", "no answer for %d days", (now - enquiry.came_at).days)
            % (now - enquiry.came_at).days,
            reverse("desk_enquiry", args=[enquiry.pk]),
            _("Answer it"),
        )
        for enquiry in unanswered_since(now - ANSWER_WITHIN)[:20]
    ]


def _answers_came(now: datetime) -> list[Want]:
    """Quotes and consents that customers answered on their pages in the last days."""
    since = now - ANSWERS_OF
    return [
        *(_answered(quote) for quote in answered_on_the_page(since)[:20]),
        *(_consented(answer) for answer in consents_on_the_page(since)[:20]),
    ]


def _answered(quote: Quote) -> Want:
    is_yes = quote.state == QuoteState.ACCEPTED
    said = _("%s accepted") if is_yes else _("%s declined")
    tone = "met" if is_yes else "stop"
    return _of_order(quote.order, said, name_of(quote), _("Open the order"), tone)


def _consented(answer: Answer) -> Want:
    said = _("%s said yes") if answer.is_yes else _("%s said no")
    what, tone = answer.get_kind_display(), "met" if answer.is_yes else "stop"
    return _of_order(answer.item.order, said, what, _("Open the order"), tone)


def _changes_to_price() -> list[Want]:
    """Change orders that the bench began and nobody has sent."""
    begun = [quote for quote in drafts()[:40] if quote.because]
    why = _("a change order to be priced and sent")
    return [_of_order(quote.order, "%s", why, _("Price it")) for quote in begun[:20]]


def _quotes_waiting(diary: Calendar, now: datetime) -> list[Want]:
    """Quotes without an answer that run out soon or have, or have waited for a week.

    What would be near its last day while nobody is here comes before the shop closes.
    """
    today = diary.today(now)
    found = {quote.pk: quote for quote in running_out(diary.eve_of_work(today))[:20]}
    found.update({quote.pk: quote for quote in unanswered(now - ASK_AFTER)[:20]})
    return [_waiting(quote, today) for quote in found.values()]


def _waiting(quote: Quote, today: date) -> Want:
    last = quote.valid_until or today
    why = _("%(what)s ran out %(day)s, without an answer")
    if last >= today:
        why = _("%(what)s is valid until %(day)s, no answer yet")
    known = {"what": name_of(quote), "day": dated(last, "short")}
    deed = _("Renew it") if last < today else _("Ask again")
    return _of_order(quote.order, "%s", why % known, deed)


def _of_order(order: Order, what: str, why: str, deed: str, tone: str = "brass") -> Want:
    url = reverse("desk_order", args=[order.number]) + "#quotes"
    return Want(what % order.customer.called, why, url, deed, tone)


def _to_ask(row: Row) -> Want:
    who = row.build.item.order.customer.called
    why = _("ask %s again before work starts") % who
    return _of(row, why, _("Record the answer"), f"?kind={AnswerKind.RECONFIRMED}#answers")


def _not_agreed(row: Row) -> Want:
    who = row.build.item.order.customer.called
    why = _("it is here, but %s has not agreed yet") % who
    return _of(row, why, _("Record the answer"), f"?kind={AnswerKind.AGREED}#answers")


def _collect(row: Row) -> Want:
    url = reverse("bench_collect", args=[row.build.number])
    return replace(_of(row, _("ready to be collected"), _("Hand it over"), "", "met"), url=url)


def _of(row: Row, why: str, deed: str, part: str, tone: str = "brass") -> Want:
    tray = str(row.build.tray) if row.build.tray else ""
    return Want(row.name, why, sheet(row.build, part), deed, tone, tray, str(row.build))


def _late(row: Row) -> Want:
    day = dated(row.due.day, "short") if row.due else ""
    return _of(row, _("late: due %s") % day, _("Tell a new day"), "#promise", "stop")


def _lost(found: Sequence[Row], calendar: Calendar, now: datetime) -> list[Row]:
    """Builds by post of which nothing leaves any more on their day, the nearest first."""
    lost = [
        row for row in found if not row.parcel and is_swallowed(row.build, row.due, calendar, now)
    ]
    return sorted(lost, key=lambda row: row.days_left or 0)


def _nothing_leaves(row: Row, calendar: Calendar, now: datetime) -> Want:
    told = row.due.day if row.due else calendar.today(now)
    new = later_day(row.build, told, calendar, now)
    why = _("told %s, but nothing leaves that day") % dated(told, "short")
    part = f"?day={new.isoformat()}#promise" if new else "#promise"
    return _of(row, why, _("Tell a new day"), part, "stop")


def _kept_untold(found: Sequence[Row]) -> list[Want]:
    """Builds for which a later day is kept than their customer knows of."""
    rows = {row.build.pk: row for row in found if not row.parcel}
    news = untold([row.build for row in rows.values()])
    return [_untold(rows[pk], promise) for pk, promise in news.items()]


def _untold(row: Row, promise: Promise) -> Want:
    who = row.build.item.order.customer.called
    day = dated(promise.day, "short")
    why = _("a new day is kept, %(day)s; %(who)s was not told yet") % {"day": day, "who": who}
    url = reverse("bench_tell", args=[row.build.number]) + "?occasion=late"
    return replace(_of(row, why, _("Tell %s") % who, ""), url=url)


def _left_behind(found: Sequence[Row], calendar: Calendar, now: datetime) -> list[Want]:
    """Parcels that stayed here past their day, and whose customer does not know it."""
    stayed = {
        row.build.pk: row
        for row in found
        if row.parcel and row.leaves and row.leaves > row.parcel.day
    }
    behind = left_behind_untold([row.build for row in stayed.values()], calendar, now)
    return [_stayed(stayed[one.build.pk], one) for one in behind]


def _stayed(row: Row, one: Telling) -> Want:
    why = _("packed for %(day)s and still here; it goes %(next)s") % {
        "day": dated(one.parcel.day, "short"),
        "next": dated(one.day, "short"),
    }
    url = reverse("bench_tell", args=[row.build.number]) + f"?occasion={one.occasion.value}"
    who = _("Tell %s") % one.who.called
    return replace(_of(row, why, who, "", "stop"), url=url)


def _endangered(found: Sequence[Row]) -> list[Want]:
    """Promises in danger: by their odds, the worst first; then, without odds, what is near."""
    danger = [row for row in found if row.is_in_danger and not row.is_late]
    told = sorted((row for row in danger if row.said), key=lambda row: row.said.odds)  # type: ignore[union-attr]
    known = names([row.said for row in told if row.said])
    return [
        *(_unlikely(row, row.said, known) for row in told if row.said),
        *(_near(row) for row in danger if not row.said),
    ]


def _unlikely(row: Row, said: Said, known: Names) -> Want:
    """The odds, what it waits for, and the cheapest thing that helps."""
    way = way_out(said, known, row.build.number)
    why = f"{trouble(said)}. {way.words}" if way.words else trouble(said)
    return replace(_of(row, why, way.deed, ""), url=way.url)


def _near(row: Row) -> Want:
    day = dated(row.due.day, "short") if row.due else ""
    why = _("due %(day)s, still in %(stage)s: %(what)s") % {
        "day": day,
        "stage": row.build.get_state_display(),
        "what": row.headline,
    }
    return _of(row, why, _("Open sheet"), "")


def _can_go_on(row: Row, held: Hold) -> Want:
    """The parts that it waited for came: somebody takes note, and tells the customer."""
    why = _("came: %(part)s – it can go on") % {"part": held.line.part.name if held.line else ""}
    return _of(row, why, _("Let it go on"), "#holds", "met")


def _timers_over(now: datetime) -> list[Want]:
    """Burn-ins and rests that have run their time and wait to be read."""
    return [_timer_over(timer) for timer in timers_over(now)]


def _timer_over(timer: Timer) -> Want:
    build = timer.build
    facts = {"what": timer.get_what_display().capitalize(), "hilt": build.hilt or _("Blade")}
    return Want(
        _("%(what)s is over: %(hilt)s") % facts,
        _("since %s; read it") % dated(localtime(timer.over_at), "short moment"),
        reverse("proving_sheet", args=[build.number]),
        _("Read it"),
        tray=str(build.tray or ""),
        number=str(build),
    )


def _timers_forgotten(calendar: Calendar, now: datetime) -> list[Want]:
    """Timers of people that ran on after the day was over: how long it was, only they know."""
    return [_timer_forgotten(stretch) for stretch in forgotten(calendar, now)[:20]]


def _timer_forgotten(stretch: Stretch) -> Want:
    build = stretch.build
    facts = {"who": stretch.by.name, "hilt": build.hilt or _("Blade")}
    return Want(
        _("How long was %(who)s at %(hilt)s?") % facts,
        _("the timer ran on after %s was over") % dated(localtime(stretch.begun_at), "long"),
        sheet(build, "#worked"),
        _("Say how long"),
        number=str(build),
    )


def _late_orders(today: date) -> list[Want]:
    """Purchase orders past their day of which something is missing."""
    return [
        Want(
            f"{stand.purchase}, {stand.purchase.supplier}",
            ngettext("late by %(n)d day: %(what)s", "late by %(n)d days: %(what)s", stand.late_days)
            % {"n": stand.late_days, "what": missing_words(stand)},
            reverse("stores_purchase", args=[stand.purchase.number]),
            _("Open the order"),
            "stop",
        )
        for stand in late_purchases(today)
    ]


def _old_claims(now: datetime) -> list[Want]:
    """Claims with which nothing has happened for a week."""
    return [
        Want(
            _("Claim: %s") % claim.part.name,
            _("%(state)s since %(day)s, %(who)s")
            % {
                "state": claim.get_state_display(),
                "day": dated(claim.state_since, "short"),
                "who": claim.supplier,
            },
            reverse("stores_claim", args=[claim.pk]),
            _("Look at it"),
        )
        for claim in old_claims(now)[:20]
    ]


def _chases(found: Sequence[Row], calendar: Calendar, now: datetime) -> list[Want]:
    today = calendar.today(now)
    return [
        _of(row, f"{held.get_turn_display()}: {held.words}", _("Ask again"), "#holds")
        for row in found
        for held in row.holds
        if held.chase_on <= today
    ]


def _not_heard(found: Sequence[Row], now: datetime) -> list[Want]:
    """Customers of open builds who have heard nothing for ten days."""
    waiting: dict[int, Row] = {}
    for row in found:
        waiting.setdefault(row.build.item.order.customer_id, row)
    reached = Q(messages__state__in=TOLD)  # not what failed, nor what they wrote themselves
    told = Customer.objects.filter(pk__in=waiting).annotate(
        heard=Max("messages__done_at", filter=reached)
    )
    silent = []
    for customer in told:
        row = waiting[customer.pk]
        since = max(filter(None, [customer.heard, row.build.item.order.placed_at]))
        if now - since >= QUIET_AFTER:
            days = (now - since).days
            why = _("%(who)s has heard nothing for %(n)d days") % {
                "who": customer.called,
                "n": days,
            }
            silent.append(_of(row, why, _("Write"), "#told"))
    return silent


def leaving_next(found: Sequence[Row], calendar: Calendar, now: datetime) -> dict[str, object]:
    """The next dispatch day, how many builds are for it, and how many of those are ready."""
    day = calendar.next_dispatch_day(now)
    its_rows = [row for row in found if day and leaves_on(row, day) == day]
    return {
        "day": day,
        "count": len(its_rows),
        "ready": sum(1 for row in its_rows if row.parcel),
        "danger": len(in_danger(found, day)) if day else 0,
    }
