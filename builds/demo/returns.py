"""Returns of the demo: one that became a build, one that came to nothing, one to be decided."""

from datetime import datetime, timedelta

from builds.demo.days import Days, token
from builds.demo.house import Crew
from builds.demo.job import Back
from builds.handover.actions.returns import (
    Facts,
    Verdict,
    announce,
    decide,
    end_return,
    make_build,
)
from builds.handover.actions.start_from import start_from
from builds.handover.actions.telling import confirm
from builds.handover.queries.returns import owner_of, words_for
from builds.handover.states import CellNow, Covered, Pays, Start
from builds.progress.linking import hilt_link
from builds.progress.models import Build
from shop.house.queries import house
from shop.orders.models import How
from shop.people.models import User
from shop.post.actions import queue_message
from shop.post.models import Occasion

TWICE = "Bell Rope"  # announced once for nothing, and again since yesterday


def came_back(hilt: str, back: Back, crew: Crew, days: Days, now: datetime) -> Build:
    """A hilt that left comes back under warranty, and its new build starts from the old one."""
    before = Build.objects.filter(hilt__name=hilt).latest("number")
    told = days.back(back.ago, 19, 20)
    facts = Facts(back.words, CellNow.FINE)
    found = announce(before, facts, token=token("return", hilt), by=None, now=told)
    confirm(found, shop=house(), now=told)
    verdict = Verdict(Covered.COVERED, back.because, Pays.BOTH)
    decide(found.pk, verdict, seen="", by=crew.oda, now=now - timedelta(minutes=20))
    found.refresh_from_db()
    text = words_for(found, Occasion.RETURN_DECIDED, house(), now)
    queue_message(
        key=f"return:{token('told', hilt)}", occasion=Occasion.RETURN_DECIDED, about=before.about,
        customer=owner_of(found), to=owner_of(found).email, subject=text.subject, body=text.body,
        link=hilt_link(found.build.hilt, now) if found.build.hilt else None, made_by=crew.oda,
        now=now - timedelta(minutes=15),
    )  # fmt: skip
    made = make_build(found.pk, by=crew.oda, now=now)
    start_from(made.pk, before.pk, Start.STAYS, by=crew.oda, now=now + timedelta(minutes=5))
    return made


def show(made: dict[str, Build], crew: Crew, days: Days) -> None:
    """One that came to nothing, and the next of the same hilt, which waits for the owner."""
    build = made[TWICE]
    _flat(build, crew.jory, crew.oda, days)
    moment = days.back(1, 20, 5)
    words = "It crackles when it is loud, worst in the first minute. The dent is as it was."
    facts = Facts(words, CellNow.FINE)
    found = announce(build, facts, token=token("return", TWICE), by=None, now=moment)
    confirm(found, shop=house(), now=moment)


def _flat(build: Build, jory: User, oda: User, days: Days) -> None:
    facts = Facts("It stays dark, whatever I press.", CellNow.UNKNOWN, How.TELEPHONE)
    found = announce(build, facts, token=token("flat", TWICE), by=jory, now=days.back(4, 10, 15))
    why = "The battery was flat. Charged over night, it lights again."
    end_return(found.pk, why, by=oda, now=days.back(3, 9, 40))
