"""A clock that was wrong by an hour, a day or a year and is put right: nothing stays stuck."""

from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from celery.beat import ScheduleEntry
from celery.schedules import schedule
from django.test import Client

from builds.fitting.actions.parts import plan_part, reserve_part
from builds.fitting.actions.releasing import release_due
from builds.gates import actions as gates
from builds.importing.actions.working import claim, waiting
from builds.importing.models import Import
from builds.progress import actions as progress
from builds.progress.holding import end_hold
from builds.progress.models import Build
from builds.progress.queries import undoable
from builds.progress.states import State
from builds.queue.actions import promise
from builds.queue.actions.reminding import remind
from shop import clock, folder
from shop.celery import Beat, app
from shop.files import rendering
from shop.files.actions import keep
from shop.keeping.actions import clockwork
from shop.keeping.models import Backup, Export
from shop.keeping.queries import standing
from shop.models import Blob, House, Message, User
from shop.people import factors
from shop.people.models import AppCode, Session
from shop.people.sessions import LONGEST_SESSION
from shop.post import actions as post
from shop.post import delivery
from shop.post.models import Occasion
from shop.post.models import State as Post
from shop.web import throttle
from tests.files.pictures import encoded, picture, upload
from tests.makers import FRIDAY, make_build, make_part, put_on_hold
from tests.people.test_second_step import NONCE, code_at
from tests.smtp import Received

pytestmark = pytest.mark.django_db
HOUR, DAY, YEAR = timedelta(hours=1), timedelta(days=1), timedelta(days=365)
JUMPS = [HOUR, DAY, YEAR]
MINUTE = timedelta(minutes=1)
jumps = pytest.mark.parametrize("jump", JUMPS, ids=["hour", "day", "year"])


@jumps
def test_what_is_still_to_come_lies_as_far_back_as_need_be(now: datetime, jump: timedelta) -> None:
    assert clock.within(now - MINUTE, 2 * MINUTE, now)
    assert not clock.within(now - 3 * MINUTE, 2 * MINUTE, now)
    assert clock.within(now + MINUTE, 2 * MINUTE, now)  # another machine's clock is a little ahead
    assert not clock.within(now + jump, 2 * MINUTE, now)


@jumps
def test_throttle_lets_in_again(now: datetime, jump: timedelta) -> None:
    for _each in range(6):
        throttle.allow("sign-in", "oda", 5, 15 * MINUTE, now + jump)
    assert not throttle.allow("sign-in", "oda", 5, 15 * MINUTE, now + jump)
    assert throttle.allow("sign-in", "oda", 5, 15 * MINUTE, now)


@jumps
def test_code_of_the_app_opens_again_and_still_only_once(
    owner: User, now: datetime, jump: timedelta
) -> None:
    factors.turn_on(owner, NONCE, code_at(owner, now - HOUR), now=now - HOUR)
    AppCode.objects.update(last_step=int((now + jump).timestamp()) // factors.STEP_S)
    assert factors._take_app_code(owner, code_at(owner, now), now)
    assert not factors._take_app_code(owner, code_at(owner, now), now)


def test_session_that_was_begun_in_what_is_to_come_stays_and_still_ends(
    owner_client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = clock.now()
    Session.objects.update(since=begun + YEAR)
    session = owner_client.session
    session["signed_in_at"] = (begun + YEAR).timestamp()
    session.save()
    assert owner_client.get("/my-password/").status_code == 200
    later = begun + LONGEST_SESSION + DAY
    Session.objects.update(expire_date=later + DAY)
    monkeypatch.setattr(clock, "now", lambda: later)
    assert owner_client.get("/my-password/").status_code == 302


@jumps
def test_move_of_what_is_to_come_cannot_be_undone_for_longer_than_a_minute(
    owner: User, now: datetime, jump: timedelta
) -> None:
    build = make_build(owner, now, State.INSTALL)
    made = progress.move(
        build.pk, expected=State.INSTALL, to=State.TEST, token=uuid4(), by=owner, now=now + jump
    )
    assert undoable(now + jump) == [made]
    assert undoable(now) == []
    with pytest.raises(progress.Refused):
        progress.undo(made.pk, token=uuid4(), by=owner, now=now)


@jumps
def test_hold_can_be_ended(owner: User, now: datetime, jump: timedelta) -> None:
    hold = put_on_hold(make_build(owner, now), owner, now + jump)
    ended = end_hold(hold.pk, by=owner, now=now)
    assert ended.ended_at == hold.since


@jumps
def test_condition_can_be_passed(owner: User, now: datetime, jump: timedelta) -> None:
    build = make_build(owner, now, State.INTAKE)
    Build.objects.filter(pk=build.pk).update(state_since=now + jump)
    open_ones = [each for each in gates.conditions([build.pk])[build.pk] if not each.is_open]
    code = next(each.code for each in open_ones if not each.never_pass)
    passed = gates.let_by(build.pk, code, reason="seen by hand", by=owner, now=now)
    assert passed.at == passed.stay_since


@jumps
def test_parts_of_an_ended_build_are_free(owner: User, now: datetime, jump: timedelta) -> None:
    build, part = make_build(owner, now, State.INSTALL), make_part(owner, now, 3)
    planned = plan_part(build, part, 1, section=None, token=uuid4(), by=owner, now=now)
    reserve_part(planned, token=uuid4(), by=owner, now=now)
    progress.move(
        build.pk, expected=State.INSTALL, to=State.RETURNED, token=uuid4(), by=owner,
        now=now + jump, reason="they changed their mind",
    )  # fmt: skip
    release_due(now)
    part.level.refresh_from_db()
    assert part.level.reserved == 0


def _queued(now: datetime, key: str = "a") -> Message:
    return post.queue_message(
        key=key, occasion=Occasion.FREE, about="build:1", to="wren@customers.example",
        subject="The Heron", body="All is well.", now=now, not_before=now + MINUTE,
    )  # fmt: skip


@jumps
def test_message_leaves_once(
    house: House, smtp_server: Received, now: datetime, jump: timedelta
) -> None:
    message = _queued(now + jump)
    assert delivery.due(now, 10) == [message.pk]
    assert delivery.deliver(message.pk, now)
    for moment in (now, now + jump, now + jump + DAY):
        assert not delivery.deliver(message.pk, moment)
    assert len(smtp_server.messages) == 1


@jumps
def test_message_that_was_claimed_in_what_is_to_come_leaves(
    house: House, smtp_server: Received, now: datetime, jump: timedelta
) -> None:
    message = _queued(now - HOUR)
    assert delivery.claim(message.pk, now + jump)
    assert delivery.claim(message.pk, now + jump) is None
    assert delivery.deliver(message.pk, now)
    assert Message.objects.get().state == Post.SENT


def test_message_keeps_its_minute_where_another_machine_is_a_little_ahead(
    house: House, now: datetime
) -> None:
    _queued(now + timedelta(seconds=20))
    assert delivery.due(now, 10) == []


def test_reminder_of_a_day_leaves_once(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    promise(build, FRIDAY + timedelta(days=7), reason="", by=owner, now=now)
    for moment in (now, now + 7 * DAY, now, now + 7 * DAY):
        remind(moment)
    keys = list(Message.objects.values_list("key", flat=True))
    assert len(keys) == len(set(keys)) > 0


@pytest.mark.django_db(transaction=True)
@jumps
def test_photo_whose_wake_up_was_lost_gets_its_pictures(now: datetime, jump: timedelta) -> None:
    blob = keep(upload(encoded(picture(41, 200))), now + jump)
    assert rendering.left_over(now, 10) == [blob.pk]
    assert rendering.render(blob.pk, now)
    assert Blob.objects.get().rendered_at


@jumps
def test_sheet_that_was_claimed_in_what_is_to_come_is_taken_up(
    owner: User, now: datetime, jump: timedelta
) -> None:
    one = Import.objects.create(
        kind="customers", state="checking", file_name="a.csv", made_at=now, by=owner,
        state_since=now, claimed_at=now + jump, token=uuid4(), tries=1,
    )  # fmt: skip
    assert waiting(now) == [one.pk]
    assert claim(one.pk, "checking", now)


class TestBackups:
    """One a night, whatever day the clock thought it was."""

    @pytest.fixture(autouse=True)
    def shop(self, house: House, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
        monkeypatch.setenv("HILTYARD_DATA", str(tmp_path / "data"))
        folder.prepare()
        set_up = datetime(2026, 1, 1, tzinfo=UTC)
        House.objects.update(zone_name="UTC", backup_at=time(3), set_up_at=set_up)
        monkeypatch.setattr(clockwork, "start_process", lambda: None)

    def _made(self, at: datetime) -> Backup:
        return Backup.objects.create(
            night=at.date(), asked_at=at, begun_at=at, done_at=at, file_name=f"{at}.tar"
        )

    @pytest.mark.parametrize("jump", [DAY, YEAR], ids=["day", "year"])
    def test_tonight_has_its_own(self, now: datetime, jump: timedelta) -> None:
        self._made(now + jump)
        assert clockwork.look(now)
        assert Backup.objects.filter(night=now.date(), begun_at=None).exists()

    def test_one_that_is_dated_ahead_is_not_young_for_a_year(self, now: datetime) -> None:
        self._made(now + YEAR)
        assert standing(now).is_old
        right = self._made(now)
        assert standing(now).newest == right
        assert not standing(now).is_old
        assert standing(now + 3 * DAY).is_old

    def test_clock_far_back_still_has_nights(self, now: datetime) -> None:
        House.objects.update(set_up_at=now + YEAR)
        assert clockwork.look(now)

    def test_export_goes_after_its_two_days(self, now: datetime, owner: User) -> None:
        Export.objects.create(token=uuid4(), asked_at=now + YEAR, asked_by=owner, begun_at=now)
        clockwork.look(now)
        assert Export.objects.get().gone_at == now


def test_numbers_go_on_without_a_gap(owner: User, now: datetime) -> None:
    numbers = [
        make_build(owner, moment).item.order.number
        for moment in (now, now + YEAR, now, now + YEAR, now)
    ]
    assert numbers == ["2026-001", "2027-001", "2026-002", "2027-002", "2026-003"]


def test_clock_of_the_worker_does_not_stand_still(monkeypatch: pytest.MonkeyPatch) -> None:
    sent: list[str] = []
    moment = datetime(2026, 11, 26, 10, tzinfo=UTC)
    every = schedule(30.0, nowfun=lambda: moment, app=app)
    entry = ScheduleEntry("outbox", task="sweep", schedule=every, app=app, last_run_at=moment)
    monkeypatch.setattr(Beat, "producer", None)  # nothing is sent
    beat = Beat(app, schedule={"outbox": entry}, lazy=True)
    monkeypatch.setattr(Beat, "apply_entry", lambda _, one, **__: sent.append(one.name))
    monkeypatch.setattr(clock, "now", lambda: moment)
    beat.tick()
    begun = moment
    for passed, wanted in ((31, 1), (-86_400, 1), (-86_369, 2), (-86_338, 3)):
        moment = begun + timedelta(seconds=passed)
        beat.tick()
        assert len(sent) == wanted, passed
