"""What the demo shop told its customers, and what they asked."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from builds.bench.actions.tell import note_said, page_link
from builds.demo.days import Days, token
from builds.demo.job import Job
from builds.dispatch.actions import note_tracking
from builds.dispatch.models import Parcel
from builds.intake.actions import describe_photo
from builds.intake.queries import photos_of
from builds.progress.models import Build
from builds.progress.states import State as Stage
from builds.queue.wording import customer_of, stand_of, words_for
from builds.visitor.actions import ask
from shop.files.models import Blob
from shop.house.queries import house
from shop.orders.enquiries import add_photos, mark_answered, mark_lost, note_enquiry
from shop.orders.models import How
from shop.people.models import User
from shop.post import delivery
from shop.post.actions import queue_message
from shop.post.failures import MOST_TRIES
from shop.post.models import Message, Occasion, State

_TRY_EVERY = timedelta(minutes=2)
_QUESTION = (
    "Could the quiet look be a little warmer, more amber than white? And may I bring the felt "
    "sleeve back later, or does it need to travel with the hilt?"
)

_ASKED = (
    (
        "Jessamy Corrow", "jessamy@corrow.example", How.MAIL, 3,
        "A full install in a hilt from an estate, two switches, warm white. What would it cost?",
    ),
    (
        "Ottoline Brack", "01632 960 203", How.TELEPHONE, 2,
        "A quieter speaker and a new cell in a hilt that we built two years ago.",
    ),
    (
        "Fenn Hollis", "fenn in the makers' chat", How.CHAT, 9,
        "Board swap before a festival.",
    ),
)  # fmt: skip


def mail(
    build: Build, occasion: Occasion, by: User, days: Days, now: datetime, *, share: int
) -> Message:
    """Queue a mail with the shop's own words; the newest photos go along and are shared."""
    chosen = list(photos_of(build.pk).order_by("-taken_at", "-pk")[:share])
    text = words_for(stand_of(build, days.calendar, now), occasion, house())
    message = queue_message(
        key=f"demo:{build.number}:{occasion}:{build.state}",
        occasion=occasion,
        about=build.about,
        customer=customer_of(build),
        to=customer_of(build).email,
        subject=text.subject,
        body=text.body,
        link=page_link(build, now),
        made_by=by,
        now=now,
        blobs=[photo.blob for photo in chosen],
    )
    for photo in chosen:
        describe_photo(photo, view=photo.view, caption=photo.caption, shared=True, by=by, now=now)
    return message


def show_work(build: Build, by: User, now: datetime) -> None:
    """Share the photos of how a hilt was built, for its own page."""
    for photo in photos_of(build.pk).filter(stage=Stage.INSTALL):
        describe_photo(photo, view=photo.view, caption=photo.caption, shared=True, by=by, now=now)


def chat(job: Job, build: Build, by: User, days: Days) -> None:
    """Note what was said by telephone, in a chat or in person."""
    for number, said in enumerate(job.said):
        note_said(
            build,
            token=token("said", build.number, number),
            occasion=Occasion.FREE,
            how=said.how,
            how_words=str(How(said.how).label),
            words=said.words,
            shop=house(),
            by=by,
            now=days.back(said.ago, 17, 5),
        )


def track(parcel: Parcel, job: Job, by: User, now: datetime) -> None:
    """Write the tracking number of a parcel down, an hour after it left."""
    later = now + timedelta(hours=1)
    note_tracking(parcel, carrier=job.carrier, tracking=job.tracking, by=by, now=later)


def question(build: Build, days: Days) -> None:
    """A customer asks on the private page, yesterday evening."""
    once = token("question", build.number)
    ask(build.item.order, _QUESTION, once=once, shop=house(), now=days.back(1, 19, 40))


def enquiries(by: User, days: Days, photos: Sequence[Blob]) -> None:
    """Three who asked for something: one waits too long, one has an answer, one went away."""
    for name, contact, how, ago, wishes in _ASKED:
        fields = {"called": name, "contact": contact, "wishes": wishes, "how": how}
        now = days.back(ago, 18, 20)
        asked = note_enquiry(fields, token=token("enquiry", name), by=by, now=now)
        if name == "Ottoline Brack":
            add_photos(asked.pk, photos, by, now)
            mark_answered(asked.pk, by, days.back(ago - 1, 9, 30))
        if name == "Fenn Hollis":
            mark_lost(asked.pk, "Needed it within a week.", by, days.back(ago - 2, 16, 5))


def deliver_all() -> None:
    """Lay every mail down at the moment that it was written: without a mail server, as files."""
    for message in Message.objects.filter(state=State.QUEUED).order_by("not_before", "pk"):
        delivery.deliver(message.pk, message.not_before)


def fail(build: Build, by: User, days: Days) -> None:
    """One mail that was tried in vain until no try was left."""
    now = days.back(1, 11)
    message = mail(build, Occasion.FREE, by, days, now, share=0)
    for _ in range(MOST_TRIES):
        delivery.claim(message.pk, now)
        now += _TRY_EVERY
    delivery.bury_the_worn_out(now)
