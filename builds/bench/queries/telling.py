"""Who is to be told of a parcel, and has not been: the list that one tap tells."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID, uuid5

from django.db.models import Q

from builds.bench.queries.tell import ships_on_key, why_no_mail
from builds.dispatch.models import Packed, Parcel
from builds.dispatch.queries import on_the_way
from builds.progress.models import Build
from builds.progress.states import State
from builds.queue.wording import Stand, customer_of, stands_of, words_for
from shop.diary.queries import Calendar
from shop.house.models import House
from shop.people.models import Customer
from shop.post.models import Message, Occasion
from shop.post.models import State as Post
from shop.post.wording import Text

LEFT_SINCE = timedelta(days=21)  # who was not told of it by then has the parcel in hand


@dataclass(frozen=True)
class Telling:
    """One thing to tell one customer."""

    stand: Stand
    occasion: Occasion
    day: date
    no_mail: str

    @property
    def code(self) -> str:
        """What a tick on the page stands for."""
        return f"{self.occasion.value}:{self.build.number}"

    @property
    def build(self) -> Build:
        """What it is about."""
        return self.stand.build

    @property
    def who(self) -> Customer:
        """Who is told."""
        return customer_of(self.build)

    @property
    def parcel(self) -> Parcel:
        """The parcel that it is about."""
        assert self.stand.parcel is not None  # noqa: S101 (made for what lies in one)
        return self.stand.parcel

    @property
    def token(self) -> UUID:
        """The same for the same news, so that it is told once; a parcel that leaves anew is new."""
        moment = self.parcel.left_at if self.occasion == Occasion.SENT else self.day
        return uuid5(self.parcel.token, f"{self.code}:{moment}")


def tellings(calendar: Calendar, now: datetime) -> list[Telling]:
    """What is to be told of parcels that wait or left lately, in the order of their days."""
    since = now - LEFT_SINCE
    asked = Q(left_at=None) | Q(pk__in=_gone_untold(since))
    return untold(on_the_way(since).filter(asked), calendar, now)


def _gone_untold(since: datetime) -> set[int]:
    """Parcels that left with a number, of which somebody was told nothing: by ids alone, since
    a busy shop has hundreds that it told everyone of.
    """
    gone = Packed.objects.filter(taken_out_at=None, parcel__left_at__gte=since)
    pairs = list(gone.exclude(parcel__tracking="").values_list("parcel", "build"))
    told = Message.objects.filter(
        about__in=[f"build:{build}" for _parcel, build in pairs],
        occasion=Occasion.SENT,
        customer__isnull=False,
    ).exclude(state=Post.WITHDRAWN)
    abouts = set(told.values_list("about", flat=True))
    return {parcel for parcel, build in pairs if f"build:{build}" not in abouts}


def untold(parcels: Iterable[Parcel], calendar: Calendar, now: datetime) -> list[Telling]:
    """What nobody told yet about the builds in parcels, in a constant number of queries."""
    builds = [packed.build for parcel in parcels for packed in parcel.inside]  # type: ignore[attr-defined]
    stands = stands_of(builds, calendar, now)
    said = _said_of(builds)
    found = (_telling(one, said.get(one.build.about, []), calendar) for one in stands)
    return [one for one in found if one]


def left_behind_untold(builds: Sequence[Build], calendar: Calendar, now: datetime) -> list[Telling]:
    """Those of some builds whose parcel did not leave on its day, and who does not know it."""
    said = _said_of(builds)
    stands = stands_of(builds, calendar, now) if builds else []
    found = (_telling(one, said.get(one.build.about, []), calendar) for one in stands)
    return [one for one in found if one and one.stand.is_left_behind]


def news_unsent(parcel: Parcel) -> bool:
    """Whether news that a parcel was to leave waits to be mailed: leaving withdraws it."""
    inside = parcel.packed.filter(taken_out_at=None).values_list("build", flat=True)
    abouts = [f"build:{build_id}" for build_id in inside]
    waiting = Message.objects.filter(occasion=Occasion.SHIPS_ON, state=Post.QUEUED)
    return waiting.filter(about__in=abouts).exists()


def text_of(telling: Telling, shop: House) -> Text:
    """The message as it will leave; ``$link`` is left standing."""
    return words_for(telling.stand, telling.occasion, shop)


def _said_of(builds: Iterable[Build]) -> dict[str, list[Message]]:
    told = Message.objects.filter(
        about__in=[build.about for build in builds],
        occasion__in=[Occasion.SHIPS_ON, Occasion.LATE, Occasion.SENT],
        customer__isnull=False,
    ).exclude(state=Post.WITHDRAWN)
    found: dict[str, list[Message]] = {}
    for message in told.order_by("made_at"):
        found.setdefault(message.about, []).append(message)
    return found


def _telling(stand: Stand, said: Sequence[Message], calendar: Calendar) -> Telling | None:
    parcel = stand.parcel
    if parcel is None or stand.leaves is None:
        return None
    occasion: Occasion | None
    if parcel.left_at:
        occasion = _of_left(stand, parcel, said)
    else:
        occasion = _of_waiting(stand, parcel, said, calendar)
    if occasion is None:
        return None
    return Telling(stand, occasion, stand.leaves, why_no_mail(customer_of(stand.build)))


def _of_left(stand: Stand, parcel: Parcel, said: Sequence[Message]) -> Occasion | None:
    was_told = any(message.occasion == Occasion.SENT for message in said)
    is_gone = stand.build.state == State.SENT and bool(parcel.tracking)
    return Occasion.SENT if is_gone and not was_told else None


def _of_waiting(
    stand: Stand, parcel: Parcel, said: Sequence[Message], calendar: Calendar
) -> Occasion | None:
    if stand.build.state != State.DISPATCH or stand.leaves is None:
        return None
    of_its_day = [message for message in said if message.occasion != Occasion.SENT]
    key = ships_on_key(stand.build, stand.leaves)
    if any(one.key.startswith(key) for one in of_its_day):
        return None
    if any(one.made_at > _since(parcel, stand, one, calendar) for one in of_its_day):
        return None
    # Who was told a day that has gone by is told of the new one as late.
    told_before = any(one.made_at > parcel.closed_at for one in of_its_day)
    return Occasion.LATE if stand.is_left_behind and told_before else Occasion.SHIPS_ON


def _since(parcel: Parcel, stand: Stand, told: Message, calendar: Calendar) -> datetime:
    """From when on a message meant the day on which the parcel now leaves."""
    if not stand.is_left_behind:
        return parcel.closed_at
    if parcel.day >= stand.first and told.occasion == Occasion.LATE:
        return parcel.closed_at  # its day was closed since: late means the new one
    assert stand.leaves is not None  # noqa: S101 (it is left behind)
    return calendar.cut_off_of(calendar.last_before(stand.leaves, parcel.day))
