"""Tells a customer how things stand: by mail, or as a note of what was said elsewhere."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils.translation import gettext as _

from builds.bench.queries.tell import cause_of, ships_on_key, told_that_day, why_no_mail
from builds.handover.queries.booklet_paper import file_name
from builds.handover.queries.booklets import in_order, published_booklets
from builds.intake.actions import describe_photo
from builds.intake.models import Photo
from builds.progress.actions import locked
from builds.progress.linking import order_link
from builds.progress.models import Build
from builds.queue.wording import Stand, customer_of, order_of
from shop.files.actions import Refused as NoPicture
from shop.files.actions import keep
from shop.files.models import Blob
from shop.house.models import House
from shop.house.queries import house
from shop.people.models import User
from shop.post.actions import Refused, log_said, queue_message
from shop.post.models import Message, Occasion, PrivateLink
from shop.post.models import State as Post
from shop.post.queries import url_of
from shop.post.wording import Text

__all__ = ["NoPicture", "Refused", "note_said", "page_link", "tell"]


def page_link(build: Build, now: datetime) -> PrivateLink:
    """The link to the private page of the order that a build belongs to."""
    return order_link(order_of(build), now)


@transaction.atomic
def tell(
    stand: Stand,
    *,
    token: UUID,
    occasion: str,
    text: Text,
    photos: Iterable[Photo],
    share: bool,
    by: User,
    now: datetime,
) -> Message:
    """Queue a message about a build. The same token again sends nothing more.

    :param photos: go along with the mail; ``share`` puts them on the private page as well.
    :raises Refused: there is no address, or this day of leaving was told in other words.
    """
    build, chosen = stand.build, list(photos)
    lacks = why_no_mail(customer_of(build))
    if lacks:
        raise Refused(lacks)
    locked(build.pk)  # two taps at once: the second finds the first's message
    cause, not_before = cause_of(build, now)
    if occasion == Occasion.CAME and stand.came and stand.came.line:
        cause = stand.came.line.about  # no news any more where the delivery is taken back
    key = _key(stand, occasion, token)
    is_repeat = Message.objects.filter(key=key).exists()
    message = queue_message(
        key=key,
        occasion=occasion,
        about=build.about,
        customer=customer_of(build),
        to=customer_of(build).email,
        subject=text.subject,
        body=text.body,
        link=page_link(build, now),
        made_by=by,
        now=now,
        not_before=not_before,
        cause=cause,
        blobs=[photo.blob for photo in chosen],
        documents=_booklets(build) if occasion == Occasion.SENT else {},
    )
    if is_repeat:
        _same_words(message, text)
        return message
    if share:
        _share(chosen, by, now)
    return message


def _booklets(build: Build) -> dict[str, Blob]:
    """The published booklets, where no page of ours can be opened from outside to read them."""
    if house().public_url:
        return {}
    sizes = published_booklets([build.pk]).get(build.pk, {})
    return {file_name(each, str(build)): each.blob for each in in_order(sizes)}


def note_said(
    build: Build,
    *,
    token: UUID,
    occasion: str,
    how: str,
    how_words: str,
    words: str,
    shop: House,
    by: User,
    now: datetime,
    said_at: datetime | None = None,
    screenshot: UploadedFile | None = None,
) -> Message:
    """Note what was said by telephone, in a chat or in person. The same token notes it once.

    A working link in the words is put back to ``$link``: none lies in the database. The picture
    is kept before the row is written: a slow disk must not hold up other writers.
    """
    kept = [keep(screenshot, now)] if screenshot else []
    url = url_of(page_link(build, now), shop)
    return log_said(
        key=f"said:{token}",
        about=build.about,
        customer=customer_of(build),
        occasion=occasion,
        subject=how_words,
        body=words.replace(url, "$link") if url else words,
        how=how,
        said_at=said_at,
        blobs=kept,
        made_by=by,
        now=now,
    )


def _key(stand: Stand, occasion: str, token: UUID) -> str:
    """One tap is one message; and the day of leaving is news once."""
    if occasion != Occasion.SHIPS_ON or stand.leaves is None:
        return f"tell:{token}"
    told = told_that_day(stand)
    if told:
        return told.key
    key = ships_on_key(stand.build, stand.leaves)
    was_withdrawn = Message.objects.filter(key=key, state=Post.WITHDRAWN).exists()
    return f"{key}:{token}" if was_withdrawn else key


def _same_words(message: Message, text: Text) -> None:
    """A second tap is answered like the first; other words under the same key are not lost."""
    if message.body.split() == text.body.split():
        return
    if message.occasion == Occasion.SHIPS_ON:
        raise Refused(
            _("This day was told already: “%s”. Say more in your own words.") % message.subject
        )
    raise Refused(
        _("“%s” was sent already. Send this too, and a second message leaves.") % message.subject
    )


def _share(photos: Iterable[Photo], by: User, now: datetime) -> None:
    for photo in photos:
        describe_photo(photo, view=photo.view, caption=photo.caption, shared=True, by=by, now=now)
