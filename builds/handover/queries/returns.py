"""Reads returns: the one of a number, those of builds, those that wait, and their words."""

import re
from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime

from django.db.models import CharField, Exists, OuterRef, Q, QuerySet, Value
from django.db.models.functions import Cast, Concat

from builds.handover.models import Return, ReturnPhoto
from builds.handover.states import CellNow, Covered, Pays
from builds.handover.words import CARRIAGE, HARMED, VERDICTS, battery
from builds.intake.models import Match
from builds.progress.models import Build
from builds.progress.states import FINISHED, STAGES, State
from shop.diary.queries import calendar, nobody_here
from shop.house.models import House
from shop.house.speech import speaking_as
from shop.people.models import Customer
from shop.post.models import Message, Occasion
from shop.post.models import State as Post
from shop.post.queries import TOLD, of_about, wording_of
from shop.post.wording import Text, fill_text
from shop.web.reading import each_once

HEARD = (*TOLD, Post.QUEUED)  # a decision that was said, or is about to leave
AT_MOST = 200  # open ones, read at once
_NUMBER = re.compile(r"\s*r\s*0*(\d{1,9})\s*", re.IGNORECASE)
_WHOSE = ("build__hilt__customer", "build__item__order__customer")


def returns() -> QuerySet[Return]:
    """Returns with all that a row of them shows, the newest first."""
    found = Return.objects.select_related(*_WHOSE, "became__item", "noted_by", "decided_by")
    return found.order_by("-number")


def return_of(number: int) -> Return | None:
    """The return of a number."""
    return returns().filter(number=number).first()


def by_number(text: str) -> Return | None:
    """The return that "R0012" names; None for any other text."""
    named = _NUMBER.fullmatch(text)
    return return_of(int(named[1])) if named else None


def waiting() -> QuerySet[Return]:
    """Announced, and neither a build nor come to nothing; the oldest first."""
    return returns().filter(ended_at=None, became=None).order_by("number")


def wants_word() -> list[Return]:
    """Not decided yet, or decided and not told, here or not: harmed cells first, then the oldest.

    A mail that failed or was taken back told nobody; one that waits to leave will.
    """
    open_ones = Q(became=None) | Q(became__state__in=STAGES)
    about = Concat(Value("build:"), Cast(OuterRef("build_id"), CharField()))
    said = Message.objects.filter(
        about=about, occasion=Occasion.RETURN_DECIDED, made_at__gte=OuterRef("decided_at"),
        state__in=HEARD,
    )  # fmt: skip
    untold = Q(decided_at=None) | ~Exists(said)
    found = returns().filter(open_ones, untold, ended_at=None).order_by("number")
    return sorted(found[:AT_MOST], key=lambda each: not each.is_harmed)


def in_work() -> QuerySet[Return]:
    """Those whose build has not ended."""
    return returns().filter(became__state__in=STAGES)


def settled() -> QuerySet[Return]:
    """Those whose build has ended, and those that came to nothing."""
    return (
        returns()
        .filter(Q(ended_at__isnull=False) | Q(became__isnull=False))
        .exclude(became__state__in=STAGES)
    )


def returns_of(build_ids: Iterable[int]) -> dict[int, list[Return]]:
    """Build id → what came back from it, the newest first."""
    return each_once(returns_of, _returns_of, build_ids)


def _returns_of(build_ids: list[int]) -> dict[int, list[Return]]:
    found: dict[int, list[Return]] = defaultdict(list)
    for each in returns().filter(build__in=build_ids):
        found[each.build_id].append(each)
    return found


def cause_of(made: Iterable[Build]) -> Return | None:
    """The return that one of some builds comes of."""
    return next(iter(causes_of(made).values()), None)


def causes_of(made: Iterable[Build]) -> dict[int, Return]:
    """Build id → the return that it comes of, the newest first."""
    return {each.became_id or 0: each for each in returns().filter(became__in=list(made))}


def instead_of_posting(causes: Iterable[Return]) -> str:
    """What an owner does instead of posting, where a cell is harmed; empty where none is."""
    return str(HARMED) if any(cause.is_harmed for cause in causes) else ""


def is_to_come(found: Return) -> bool:
    """Whether it is still with its owner, or on the way to the shop."""
    if found.became is None:
        return found.ended_at is None
    if found.became.state != State.BOOKED:
        return False
    return not Match.objects.filter(build=found.became, ended_at=None).exists()


def can_come_back(build: Build) -> bool:
    """Whether a build may be announced back, as far as it knows by itself."""
    return build.state in FINISHED


def photos_of(found: Return) -> list[ReturnPhoto]:
    """The photos that came with an announcement."""
    return list(found.photos.select_related("blob"))


def owner_of(found: Return) -> Customer:
    """Who is told about a return: whose the hilt is now."""
    build = found.build
    return build.hilt.customer if build.hilt else build.item.order.customer


def said_about(found: Return) -> list[Message]:
    """What was said to the customer about returns of this build."""
    kinds = (Occasion.RETURN_NOTED, Occasion.RETURN_DECIDED)
    return list(of_about(found.build.about).filter(occasion__in=kinds)[:20])


def values(found: Return, shop: House, now: datetime) -> dict[str, str]:
    """What the placeholders of a message about a return stand for; empty where it is not known."""
    build = found.build
    lines = [shop.name, *shop.address.splitlines()] if shop.address else []
    is_posted = is_to_come(found) and not found.is_harmed
    diary = calendar(shop)
    return {
        "name": owner_of(found).called,
        "hilt": build.hilt.name if build.hilt else "",
        "number": str(build),
        "order": str(build.item.order.number),
        "shop": shop.name,
        "return": str(found),
        "battery": battery(found.cell),
        "address": "" if found.is_harmed else ", ".join(lines),
        "closed": nobody_here(diary, diary.today(now)) if is_posted else "",
        "decision": str(VERDICTS.get(found.covered, "")),
        "because": found.because,
        "carriage": str(CARRIAGE.get(found.pays, "")),
    }


def example_values() -> dict[str, str]:
    """The same of a return made up, for looking at the shop's own words."""
    return {
        "battery": battery(CellNow.FINE),
        "decision": str(VERDICTS[Covered.COVERED]),
        "carriage": str(CARRIAGE[Pays.BOTH]),
    }


def words_for(found: Return, occasion: str, shop: House, now: datetime) -> Text:
    """The shop's words for a return; ``$link`` is left standing.

    Of a cell that must not travel every message says so, whatever the shop's own words are.
    """
    with speaking_as(shop, owner_of(found).language):
        return _words_for(found, occasion, shop, now)


def _words_for(found: Return, occasion: str, shop: House, now: datetime) -> Text:
    known = values(found, shop, now)
    if not found.is_harmed:
        known["battery"] = known["battery"] if occasion == Occasion.RETURN_NOTED else ""
        return fill_text(wording_of(occasion), known)
    if is_to_come(found):  # nobody is told who pays for what must not travel
        known["carriage"] = ""
    text = fill_text(wording_of(occasion), known)
    if str(HARMED) in text.body or not is_to_come(found):
        return text
    return Text(text.subject, f"{HARMED}\n\n{text.body}")
