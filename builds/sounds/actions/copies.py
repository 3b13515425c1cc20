"""Asks for a copy of a set in the format that a board wants. What came stays as it came."""

from collections.abc import Iterator
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.sounds.actions.sets import LOOK
from builds.sounds.audit.kinds import READ
from builds.sounds.audit.naming import NameRule, mended
from builds.sounds.models import CardProfile, SoundFile, SoundSet
from builds.sounds.refusals import Refused
from builds.sounds.states import SetState
from shop.history.actions import record
from shop.people.models import User
from shop.web.wake import wake

LEFT_OUT = {"zip", "empty", "unknown"}


@transaction.atomic
def ask_copy(set_id: int, board_id: int, *, token: UUID, by: User, now: datetime) -> SoundSet:
    """Ask for a copy, once for one token. The worker makes it file by file.

    :raises Refused: the set is not looked at yet, is a copy, or has no sound that can be read.
    """
    source = SoundSet.objects.select_for_update().get(pk=set_id)
    if known := SoundSet.objects.filter(token=token).first():
        return known
    if source.state != SetState.LOOKED:
        raise Refused(_("The set is still being looked at. Wait until it is through."))
    if source.made_from_id:
        raise Refused(_("This is a copy. Make one of the set that it came from."))
    profile = CardProfile.objects.select_related("part").get(part=board_id)
    made = SoundSet(
        token=token, name=f"{source.name[:50]} · {profile.part.name}"[:80],
        licence=source.licence, customer=source.customer, licence_words=source.licence_words,
        made_from=source, made_for=profile.part, added_at=now, added_by=by,
    )  # fmt: skip
    rule = NameRule(profile.longest_name, profile.letters, profile.ending)
    files = list(_files(made, source, rule))
    if not files:
        raise Refused(_("There is no sound in it that can be read."))
    made.total = len(files)
    made.save()
    SoundFile.objects.bulk_create(files)
    record("sound_set_copied", source.about, by, now, name=made.name)
    record("sound_set_came", made.about, by, now, name=made.name, count=made.total)
    wake(LOOK, made.pk)
    return made


def _files(made: SoundSet, source: SoundSet, rule: NameRule) -> Iterator[SoundFile]:
    """Sounds to be made anew under mended names; what is no sound comes along as it is."""
    held = list(source.files.exclude(blob=None))
    plain = [file for file in held if file.facts["kind"] not in READ | LEFT_OUT]
    taken = {file.path.casefold() for file in plain}
    for file in plain:
        yield SoundFile(
            sound_set=made, path=file.path, size=file.size, blob_id=file.blob_id, sort=file.sort
        )
    for file in held:
        if file.facts["kind"] in READ and file.facts.get("seconds"):
            path = mended(file.path, rule, taken)
            taken.add(path.casefold())
            yield SoundFile(
                sound_set=made, path=path, size=file.size, sort=file.sort, made_from=file
            )
