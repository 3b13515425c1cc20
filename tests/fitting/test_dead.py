"""Dead parts: claimed for, out of the stores, and wanted anew in the build."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client

from builds.fitting.actions import Refused
from builds.fitting.actions.dead import mark_dead
from builds.fitting.actions.parts import fit_part, plan_own, reserve_part
from builds.fitting.models import BuildPart
from builds.models import Build
from builds.progress.states import State
from shop.models import Part, User
from shop.stores.models import Claim, Supplier
from tests.fitting.making import plan, post, said
from tests.makers import make_arrival, make_build, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.INSTALL)


@pytest.fixture
def speaker(owner: User, now: datetime) -> Part:
    return make_part(owner, now, 3, name="speaker, 28 mm")


@pytest.fixture
def supplier(db: None) -> Supplier:
    return Supplier.objects.create(name="Fenland Components")


def stock(part: Part) -> tuple[int, int]:
    part.level.refresh_from_db()
    return part.level.on_hand, part.level.reserved


def lines(build: Build) -> list[tuple[int, str]]:
    there = build.parts.filter(ended_at=None).select_related("reservation").order_by("pk")
    return [(part.quantity, part.state) for part in there]


def test_fitted_part_is_claimed_for_and_wanted_anew(
    build: Build, speaker: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    part = fit_part(plan(build, speaker, owner, now), token=uuid4(), by=owner, now=now)
    token = uuid4()
    for _tap in range(2):
        mark_dead(part, "hums", many=1, supplier=supplier, token=token, by=owner, now=now)
    assert lines(build) == [(1, "planned")]
    assert stock(speaker) == (2, 0)  # it left as it was fitted
    claim = Claim.objects.get()
    assert (claim.fault, claim.about, claim.quantity) == ("hums", build.about, 1)


def test_of_two_fitted_the_other_stays(
    build: Build, speaker: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    part = fit_part(plan(build, speaker, owner, now, 2), token=uuid4(), by=owner, now=now)
    mark_dead(part, "hums", many=1, supplier=supplier, token=uuid4(), by=owner, now=now)
    assert lines(build) == [(1, "fitted"), (1, "planned")]


def test_part_that_is_dead_before_it_goes_in_is_written_off(
    build: Build, speaker: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    part = reserve_part(plan(build, speaker, owner, now, 2), token=uuid4(), by=owner, now=now)
    mark_dead(part, "no sound", many=1, supplier=supplier, token=uuid4(), by=owner, now=now)
    assert lines(build) == [(2, "planned")]
    assert stock(speaker) == (2, 0)


def test_more_than_the_line_has_is_refused(
    build: Build, speaker: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    part = plan(build, speaker, owner, now)
    for many in (0, 2):
        with pytest.raises(Refused, match="No more than 1"):
            mark_dead(part, "hums", many=many, supplier=supplier, token=uuid4(), by=owner, now=now)
    assert Claim.objects.count() == 0


def test_customers_own_part_is_claimed_from_nobody(
    build: Build, supplier: Supplier, owner: User, now: datetime
) -> None:
    thing = make_arrival(owner, now).belongings.create(build=build, what="old speaker")
    spec = {"diameter_mm": 28, "depth_mm": 6, "ohm": 4, "power_mw": 3000}
    part = plan_own(build, thing, "speaker", spec, section=None, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="customer's own"):
        mark_dead(part, "hums", many=1, supplier=supplier, token=uuid4(), by=owner, now=now)


def test_claim_is_opened_from_the_page_of_the_part(
    bench_client: Client, build: Build, speaker: Part, supplier: Supplier, owner: User,
    now: datetime,
) -> None:  # fmt: skip
    part = fit_part(plan(build, speaker, owner, now), token=uuid4(), by=owner, now=now)
    here = f"/build/{build.number}/parts/{part.pk}/dead/"
    fields = {"dead-token": str(uuid4()), "dead-fault": "hums", "dead-many": "1"}
    answer = post(bench_client, here, **fields)
    assert answer.status_code == 422
    assert "Say who sold it" in said(answer)
    assert 'value="hums"' in answer.content.decode()
    answer = post(bench_client, here, **{**fields, "dead-supplier": supplier.pk})
    assert "Claimed." in said(answer)
    assert BuildPart.objects.filter(ended_at=None).get().state == "planned"
