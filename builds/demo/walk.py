"""Takes one job of the demo through the shop, deed by deed, at the moments that it tells."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from builds.bench.actions.intake import log_arrival, tie
from builds.demo import (
    blades,
    classed,
    fits,
    fitted,
    gestures,
    measures,
    money,
    parcels,
    power,
    proof,
    returns,
    sounding,
    talk,
    timed,
)
from builds.demo.buying import line_of
from builds.demo.days import Days, token
from builds.demo.house import Crew
from builds.demo.job import Job
from builds.demo.people import CUSTOMERS
from builds.desk.actions import orders as desk
from builds.dispatch.actions import tick_line
from builds.dispatch.models import Parcel
from builds.dispatch.queries import packing_of
from builds.gates import actions as gates
from builds.intake import actions as intake
from builds.intake.models import Arrival, View
from builds.progress.actions import hold, put
from builds.progress.models import Build, Place, Tray
from builds.progress.states import Kind, State
from shop.files.models import Blob
from shop.orders.models import AnswerKind, Order
from shop.people.models import Customer, User
from shop.post.models import Occasion

_A_MINUTE = timedelta(minutes=1)
Photos = dict[tuple[str, str], Blob]  # hilt and view → the picture


@dataclass
class Walk:
    """What is carried from job to job."""

    crew: Crew
    days: Days
    photos: Photos
    customers: dict[str, Customer] = field(default_factory=dict)
    last_order: Order | None = None
    last_arrival: Arrival | None = None

    def go(self, job: Job) -> Build:
        """Book a job and take it as far as it has got."""
        build = self._book(job)
        if build.hilt and not _is_opened(job):
            measures.told(build, build.hilt, self.crew.oda, self.days.back(job.booked, 11, 40))
        if job.came is not None:
            self._arrive(job, build)
            self._look(job, build)
        elif job.kind == Kind.BLADE:
            place = Place.objects.get(name=job.place)
            put(build.pk, tray=None, place=place, by=self.crew.jory, now=self.days.back(job.booked))
        for stage, ago in job.reached:
            self._work(job, build, ago)
            self._move(job, build, stage, ago)
        self._at_present(job, build)
        talk.chat(job, build, self.crew.oda, self.days)
        return build

    def _book(self, job: Job) -> Build:
        oda, now = self.crew.oda, self.days.back(job.booked, 11, 20)
        if job.back:
            build = returns.came_back(job.hilt, job.back, self.crew, self.days, now)
            self.last_order = build.item.order
            return build
        wanted = desk.Job(
            kind=job.kind,
            leaves_by=job.leaves_by,
            wanted=job.wanted,
            hilt_name=job.hilt,
            promise_day=None if job.due is None else self.days.told(job.due),
            agreed_how=job.agreed_how,
        )
        wanted = desk.with_odds(wanted, now)
        mark = token("job", job.who, job.hilt, job.wanted)
        if job.same_box and self.last_order:
            desk.add_job(self.last_order, wanted, token=mark, by=oda, now=now)
            return Build.objects.get(item__order=self.last_order, hilt__name=job.hilt)
        whom = self.customers.get(job.who) or CUSTOMERS[job.who]
        order = desk.book_job(
            wanted, customer=whom, token=mark, by=oda, now=now, price_note=job.price,
            needed_by=None if job.needed is None else self.days.ahead(job.needed),
        )  # fmt: skip
        for what, quantity in job.goods:
            mark = token("goods", job.hilt, what)
            desk.add_goods(order, what, quantity, token=mark, by=oda, now=now)
        self.customers[job.who], self.last_order = order.customer, order
        return Build.objects.get(item__order=order)

    def _arrive(self, job: Job, build: Build) -> None:
        jory, now = self.crew.jory, self.days.back(job.came or 0, 10, 5)
        if job.same_box and self.last_arrival:
            tie(self.last_arrival, build, by=jory, now=now)
            return
        fields = {
            "sender": build.item.order.customer.full_name,
            "carrier": job.carrier,
            "tracking": f"FP {1000 + build.number * 37} {2000 + build.number * 53}"
            if job.carrier
            else "",
            "box": job.box,
            "note": "" if job.carrier else "brought in person",
        }
        mark = token("arrival", job.hilt, build.number)
        arrival, _said = log_arrival(fields, token=mark, build=build, by=jory, now=now)
        self.last_arrival = arrival
        for code in ("box-shut", "box-open"):
            self._photo(job, code, jory, now, arrival=arrival)

    def _look(self, job: Job, build: Build) -> None:
        jory, now = self.crew.jory, self.days.back(job.came or 0, 10, 25)
        views = ("laid-out", "side-a", "side-b", "bore-end") if job.all_views else ("laid-out",)
        for code in views:
            self._photo(job, code, jory, now, build=build)
            now += _A_MINUTE
        if job.things and self.last_arrival:
            intake.add_belongings(self.last_arrival, job.things, jory, now, build=build)
        elif self.last_arrival and not job.same_box:
            intake.nothing_else(self.last_arrival, jory, now)
        for section, grade, words in job.condition:
            intake.note_condition(
                build, section=section, grade=grade, words=words, by=jory, now=now
            )
        if job.cell:
            self._check_cell(build, job.cell, now + _A_MINUTE)
        if job.tray or job.place:
            self._put(job, build, now + 2 * _A_MINUTE)
        if job.all_views:
            talk.mail(build, Occasion.ARRIVED, jory, self.days, now + 4 * _A_MINUTE, share=2)

    def _check_cell(self, build: Build, cell: tuple[str, int | None, str], now: datetime) -> None:
        result, millivolts, note = cell
        intake.check_cell(
            build=build, arrival=None, result=result, millivolts=millivolts, note=note,
            by=self.crew.jory, now=now,
        )  # fmt: skip

    def _put(self, job: Job, build: Build, now: datetime) -> None:
        tray = Tray.objects.filter(number=job.tray or 0).first()
        place = Place.objects.filter(name=job.place).first()
        put(build.pk, tray=tray, place=place, by=self.crew.jory, now=now)

    def _photo(self, job: Job, code: str, by: User, now: datetime, **holder: Any) -> None:
        view = View.objects.get(code=code)
        blob = self.photos.get((job.hilt, code))
        if blob:
            intake.add_photo(blob, view=view, by=by, now=now, **holder)

    def _work(self, job: Job, build: Build, ago: int) -> None:
        """What is done in the stage that a build is about to leave."""
        build.refresh_from_db()
        by, now = self.crew.named(job.started_by), self.days.back(ago, 15, 40)
        if build.state == State.TEARDOWN:
            self._reconfirm(build, now)
        if build.state in {State.TEARDOWN, State.INSTALL, State.TEST}:
            gates.start(build.pk, expected=build.state, by=by, now=self.days.back(ago, 9, 10))
        if build.state == State.TEARDOWN and build.hilt:
            measures.measured(build, build.hilt, by, self.days.back(ago, 10))
            fits.planned(build, by, self.days.back(ago, 13))
            power.described(build, by, self.days.back(ago, 14))
        if build.state == State.INSTALL:
            fitted.through(build, by, self.days.back(ago, 13, 30))
            gestures.described(build, by, self.days.back(ago, 14, 30))
            blades.along(build, by, self.days.back(ago, 14, 45))
            power.decided(build, by, self.days.back(ago, 15))
        if build.state == State.INSTALL and build.kind == Kind.BLADE:
            blades.alone(build, by, self.days.back(ago, 14, 45))
        if build.state == State.TEST:
            proof.passed(build, by, build.state_since + 5 * _A_MINUTE)
            gestures.tried(build, by, self.days.back(ago, 14))
            sounding.card(build, by, self.days.back(ago, 15))
        if build.state == State.INSTALL and build.hilt:
            self._photo(job, "chassis", by, now, build=build)
        timed.stage(build, by, self.days, ago)

    def _reconfirm(self, build: Build, now: datetime) -> None:
        if build.kind in {Kind.FULL, Kind.UPGRADE}:
            desk.keep_answer(
                build.item, kind=AnswerKind.RECONFIRMED, is_yes=True,
                text="Yes, still wanted, same options.", how="mail", by=self.crew.oda, now=now,
            )  # fmt: skip

    def _move(self, job: Job, build: Build, stage: str, ago: int) -> None:
        by, now = self.crew.named(job.started_by), self.days.back(ago, 16)
        gates.advance(
            build.pk, token=token("move", build.number, stage), expected=build.state, by=by, now=now
        )
        build.refresh_from_db()
        if stage in job.told_at:
            talk.mail(build, Occasion.STAGE, self.crew.oda, self.days, now, share=0)

    def _at_present(self, job: Job, build: Build) -> None:
        build.refresh_from_db()
        since = job.reached[-1][1] if job.reached else 0
        now, by = self.days.back(max(since - 1, 1), 9, 30), self.crew.named(job.started_by)
        if build.state == State.TEARDOWN and job.reconfirmed:
            self._reconfirm(build, now)
        if job.started_by and build.state in {State.TEARDOWN, State.INSTALL, State.TEST}:
            gates.start(build.pk, expected=build.state, by=by, now=now)
        if job.started_by and build.state == State.TEARDOWN and build.hilt:
            stuck = measures.is_stuck(build.hilt.name)
            (measures.begun if stuck else measures.measured)(build, build.hilt, by, now)
            fits.planned(build, by, now + timedelta(hours=2))
            power.begun(build, by, now + timedelta(hours=3))
        if build.state == State.INSTALL:
            fitted.begun(build, by, now + timedelta(hours=1))
            gestures.described(build, by, now + timedelta(hours=2))
        if build.state == State.TEST:
            test = proof.failed_once if job.fails_once else proof.half_way
            test(build, by, now if job.fails_once else self.days.now)
            gestures.tried(build, by, now, most=99 if job.fails_once else 3)
        if job.new_cell:
            self._check_cell(build, job.new_cell, now)
        if job.finished_views and build.state == State.DISPATCH:
            self._photo(job, "packed", by, now, build=build)
        if job.returned:
            for thing in build.belongings.all():
                intake.account_for(thing, kept_because="", by=by, now=now)
        self._wait(job, build)
        if build.state == State.INTAKE:
            fitted.chosen(build, self.crew.oda, now)
            power.chosen(build, self.crew.oda, now + timedelta(hours=1))
        self._leave(job, build, now)

    def _wait(self, job: Job, build: Build) -> None:
        if job.wait is None:
            return
        now, chase = self.days.back(job.wait.since, 14, 15), self.days.ahead(job.wait.chase)
        fields: dict[str, object] = {
            "reason": job.wait.reason, "turn": job.wait.turn, "words": job.wait.words,
            "before": job.wait.before, "chase_on": chase,
            "line": line_of(job.wait.part) if job.wait.part else None,
        }  # fmt: skip
        hold(build.pk, fields=fields, by=self.crew.oda, now=now)
        if job.wait.turn == "customer":
            talk.mail(build, Occasion.HOLD, self.crew.oda, self.days, now, share=1)

    def _leave(self, job: Job, build: Build, now: datetime) -> None:
        oda = self.crew.oda
        if job.ended and job.reached:
            timed.stage(build, self.crew.named(job.started_by), self.days, job.ended[1] + 1)
        if job.packed:
            self._pack(job, build, now)
        elif job.ended:
            ending, ago, why = job.ended
            gates.end(
                build.pk, ending, token=token("end", build.number), expected=build.state,
                reason=why, by=oda, now=self.days.back(ago, 14),
            )  # fmt: skip

    def _pack(self, job: Job, build: Build, now: datetime) -> None:
        oda = self.crew.oda
        day = self.days.calendar.next_dispatch_day(self.days.now) or self.days.today
        if job.ended:
            day = self.days.told(-job.ended[1])
        parcel = gates.pack(
            [build.pk], day=day, token=token("parcel", build.number), by=oda, now=now
        )
        classed.stowed(parcel, build, oda, now)
        money.to_customs(parcel, self.crew, now, worth=30_000 if job.ended else None)
        self._tick(parcel, 99 if job.ended else 2, now)
        if not job.ended:
            parcels.by_road(parcel, oda, now)
            talk.mail(build, Occasion.SHIPS_ON, oda, self.days, now, share=1)
            return
        sent = self.days.at(day, 14, 30)
        parcels.close(parcel, oda, now)
        if build.kind in {Kind.FULL, Kind.UPGRADE}:
            why = "The booklet of that time went along on paper."
            gates.let_by(build.pk, "handed", reason=why, by=oda, now=now)
        gates.leave(parcel.pk, by=oda, now=sent)
        talk.track(parcel, job, oda, sent)
        build.refresh_from_db()
        talk.mail(build, Occasion.SENT, oda, self.days, sent, share=1)

    def _tick(self, parcel: Parcel, how_many: int, now: datetime) -> None:
        """The first lines of a packing list, as the hands come to them."""
        for line in packing_of(parcel).open[:how_many]:
            tick_line(
                parcel.pk, line.code, line.build, by=self.crew.jory, now=now,
                token=token("tick", parcel.pk, line.code),
            )  # fmt: skip


def _is_opened(job: Job) -> bool:
    """Whether a job's hilt was taken apart, so that it is measured and no longer only told of."""
    stages = [stage for stage, _ago in job.reached]
    return "install" in stages or ("teardown" in stages and bool(job.started_by))
