"""Makes a build's booklet in both sizes of type, shows it to its customer, takes it back."""

from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from builds.handover.models import Booklet
from builds.handover.queries.booklet import as_of, contents
from builds.handover.queries.booklet_page import why_no_booklet
from builds.handover.queries.booklet_paper import booklet_pdf, ready
from builds.handover.refusals import Refused
from builds.handover.states import Type
from builds.progress.linking import hilt_link
from builds.progress.models import Build
from builds.progress.queries import locked
from shop.files.actions import keep_document
from shop.files.models import Blob
from shop.history.actions import record
from shop.house.models import House
from shop.house.speech import speaking_as
from shop.people.models import User


def make_booklet(build: Build, shop: House, *, token: UUID, by: User, now: datetime) -> None:
    """Set the booklet as the build stands now, in both sizes; once for one token.

    Not to be called inside a transaction: bytes are on the disk before a row says so.

    :raises Refused: this build gets none.
    """
    _check(build)
    if build.hilt is None or Booklet.objects.filter(token=token).exists():
        return
    hilt_link(build.hilt, now)  # its code leads to the hilt's own page
    said = contents(build, shop, now)
    with speaking_as(shop, build.hilt.customer.language):
        made_of, day = ready(said), as_of(build)
    blobs = {
        size: keep_document(booklet_pdf(made_of, size, day), "application/pdf", now)
        for size in Type.values
    }
    _write(build, blobs, said.mark, token, by, now)


@transaction.atomic
def _write(
    build: Build, blobs: dict[str, Blob], mark: str, token: UUID, by: User, now: datetime
) -> None:
    _check(locked(build.pk))
    if Booklet.objects.filter(token=token).exists():
        return  # the same tap, twice at once
    for size, blob in blobs.items():
        Booklet.objects.create(
            token=token if size == Type.USUAL else uuid5(token, size),
            build=build,
            type_size=size,
            blob=blob,
            data_sha256=mark,
            made_at=now,
            made_by=by,
        )
    record("booklet_made", build.about, by, now)


@transaction.atomic
def publish_booklet(build_id: int, shop: House, *, seen: int, by: User, now: datetime) -> None:
    """Show the newest booklet to the customer, in place of any before it. Twice is once.

    :param seen: the booklet that the page showed, in usual type.
    :raises Refused: another was made meanwhile, or the build was changed since.
    """
    build = locked(build_id)
    _check(build)
    pair = _newest_pair(build)
    if not pair or pair[0].pk != seen:
        raise Refused(_changed(pair))
    if all(each.published_at for each in pair):
        return
    if pair[0].data_sha256 != contents(build, shop, now).mark:
        raise Refused(_("The build was changed since this booklet was made. Make it anew first."))
    _standing(build).update(published_at=None)
    Booklet.objects.filter(pk__in=[each.pk for each in pair]).update(published_at=now)
    record("booklet_published", build.about, by, now)


@transaction.atomic
def take_booklet_back(build_id: int, *, by: User, now: datetime) -> None:
    """Show the customer no booklet any more. Twice is once."""
    build = locked(build_id)
    if _standing(build).update(published_at=None):
        record("booklet_taken_back", build.about, by, now)


def _check(build: Build) -> None:
    why = why_no_booklet(build)
    if why:
        raise Refused(why)


def _standing(build: Build) -> QuerySet[Booklet]:
    return Booklet.objects.filter(build=build, published_at__isnull=False)


def _newest_pair(build: Build) -> list[Booklet]:
    """What was made last, usual type first; read anew, under the build's lock."""
    newest = Booklet.objects.filter(build=build, type_size=Type.USUAL).first()
    if newest is None:
        return []
    large = uuid5(newest.token, Type.LARGE)
    return [newest, *Booklet.objects.filter(token=large)]


def _changed(pair: list[Booklet]) -> str:
    if not pair:
        return _("There is no booklet yet. Make it first.")
    who = pair[0].made_by.name
    return _("%(who)s made it anew meanwhile. Look at it, then publish it.") % {"who": who}
