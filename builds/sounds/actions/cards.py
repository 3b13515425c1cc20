"""Lists what is on a build's card, looks at a card against its list, keeps what it is made from."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.models import Build
from builds.progress.queries import locked
from builds.sounds.audit.archives import MB
from builds.sounds.audit.listing import NoList, compare, read_list
from builds.sounds.models import CardCheck, CardKept, CardListing
from builds.sounds.queries.cards import card_of
from builds.sounds.refusals import Refused
from shop.files.actions import Refused as FileRefused
from shop.files.actions import keep_file
from shop.history.actions import record
from shop.people.models import User

MOST_OF_KEPT = 50 * MB
NAMED = 200  # of what differs so many paths are kept


@transaction.atomic
def list_card(build_id: int, *, token: UUID, by: User, now: datetime) -> CardListing:
    """Write down what belongs on the card as its slots stand, once for one token.

    :raises Refused: there is nothing, or a set is not through.
    """
    build = locked(build_id)
    if known := CardListing.objects.filter(token=token).first():
        return known
    card = card_of(build)
    if card.waiting:
        waits = ", ".join(card.waiting)
        raise Refused(_("Still being looked at: %(sets)s. Wait until it is through.") % {
            "sets": waits
        })  # fmt: skip
    if not card.entries:
        raise Refused(_("No slot has a sound set yet, so nothing belongs on the card."))
    made = CardListing.objects.create(
        token=token, build=build, total_bytes=sum(each.blob.size for each in card.entries),
        entries=[[each.path, each.blob.size, each.blob.sha256] for each in card.entries],
        made_at=now, made_by=by,
    )  # fmt: skip
    record("card_listed", build.about, by, now, count=len(made.entries))
    return made


@transaction.atomic
def check_card(listing_id: int, text: str, *, token: UUID, by: User, now: datetime) -> CardCheck:
    """Hold a card's checksums against a list, once for one token.

    :raises Refused: the text is no list of checksums.
    """
    listing = CardListing.objects.select_related("build").get(pk=listing_id)
    if known := CardCheck.objects.filter(token=token).first():
        return known
    try:
        found = read_list(text)
    except NoList as error:
        raise Refused(
            _("Line %(line)d is no checksum and path, as “sha256sum” writes them.")
            % {"line": error.line}
        ) from error
    differs = compare({path: digest for path, _size, digest in listing.entries}, found)
    made = CardCheck.objects.create(
        token=token, listing=listing, same=differs.same, missing=differs.missing[:NAMED],
        changed=differs.changed[:NAMED], extra=differs.extra[:NAMED], at=now, by=by,
    )  # fmt: skip
    record(
        "card_checked", listing.build.about, by, now, same=differs.same,
        missing=len(differs.missing), changed=len(differs.changed), extra=len(differs.extra),
    )  # fmt: skip
    return made


def keep_of_card(
    build: Build,
    upload: UploadedFile | None,
    facts: dict[str, Any],
    *,
    token: UUID,
    by: User,
    now: datetime,
) -> CardKept:
    """Keep a card's image, a settings file or a firmware's version, once for one token.

    Not to be called inside a transaction: the bytes are kept first.

    :raises Refused: the file is not kept; the sentence says why.
    """
    if known := CardKept.objects.filter(token=token).first():
        return known
    try:
        blob = (
            keep_file(upload, "application/octet-stream", now, at_most=MOST_OF_KEPT)
            if upload
            else None
        )
    except FileRefused as error:
        raise Refused(str(error)) from error
    with transaction.atomic():
        locked(build.pk)
        made, is_new = CardKept.objects.get_or_create(
            token=token,
            defaults={
                "build": build, "kind": facts["kind"], "blob": blob, "at": now, "by": by,
                "name": str(upload.name)[-120:] if upload else "", "version": facts["version"],
            },
        )  # fmt: skip
        if is_new:
            called = made.name or made.version
            record("card_kept", build.about, by, now, name=called, kind=made.kind)
    return made


@transaction.atomic
def end_kept(kept_id: int, *, by: User, now: datetime) -> None:
    """Show something that is kept of a card no more; over already, nothing happens."""
    kept = CardKept.objects.select_for_update().select_related("build").get(pk=kept_id)
    if kept.ended_at:
        return
    kept.ended_at = now
    kept.save(update_fields=["ended_at"])
    record("card_kept_ended", kept.build.about, by, now, name=kept.name or kept.version)
