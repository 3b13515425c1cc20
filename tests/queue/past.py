"""A shop's past for the forecast: finished builds of a kind with their hours, written in bulk."""

from datetime import datetime, timedelta
from uuid import uuid4

from builds.gates.actions import let_by
from builds.gates.conditions import conditions
from builds.hilts.models import Hilt
from builds.models import Build, Stretch
from builds.progress.states import ON_THE_RULE, Kind, Spent, State
from shop.diary.learned import guess
from shop.house.models import Counter
from shop.models import Customer, Item, Order, User
from tests.makers import hand_over, take_views

PACES = (0.8, 0.9, 1.0, 1.1, 1.25)


def make_past(many: int, by: User, now: datetime, kind: str = Kind.FULL) -> list[Build]:
    """So many finished builds of a kind, about as fast as the first guess; one a day until now."""
    counter, _made = Counter.objects.get_or_create(series="builds")
    first = counter.last + 1
    Counter.objects.filter(pk=counter.pk).update(last=counter.last + many)
    whose = Customer.objects.create(called="Past", full_name="Past", since=now)
    orders = Order.objects.bulk_create(
        Order(number=f"p-{first + n}", customer=whose, placed_at=now, token=uuid4())
        for n in range(many)
    )
    items = Item.objects.bulk_create(Item(order=order, wanted="one board") for order in orders)
    hilts = Hilt.objects.bulk_create(
        Hilt(customer=whose, name="Old", name_folded="old", since=now) for _ in range(many)
    )
    builds = Build.objects.bulk_create(
        Build(
            number=first + n, item=items[n], hilt=hilts[n], kind=kind, state=State.SENT,
            state_since=now - timedelta(days=n + 1),
        )
        for n in range(many)
    )  # fmt: skip
    Stretch.objects.bulk_create(
        _worked(build, stage, n, by) for n, build in enumerate(builds) for stage in ON_THE_RULE
    )
    return list(builds)


def stands_ready(build: Build, by: User, now: datetime) -> None:
    """A build in dispatch of which nothing is left but that it is fetched."""
    take_views(build, State.DISPATCH, by, now)
    hand_over(build, by, now)
    lacks = [one.code for one in conditions([build.pk])[build.pk] if not one.is_open]
    for code in lacks:
        let_by(build.pk, code, reason="told by telephone", by=by, now=now)


def _worked(build: Build, stage: State, n: int, by: User) -> Stretch:
    minutes = round(guess(build.kind, stage).median_h * 60 * PACES[n % len(PACES)])
    ended = build.state_since
    return Stretch(
        build=build, token=uuid4(), stage=stage, spent_on=Spent.WORK, by=by, minutes=minutes,
        begun_at=ended - timedelta(minutes=minutes), ended_at=ended, said_at=ended, said_by=by,
    )  # fmt: skip
