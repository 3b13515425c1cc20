"""What becomes of parcels that are no build's. Entered through builds.intake.actions."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.intake.models import Arrival, Went
from builds.intake.refusals import Refused
from shop.history.actions import record
from shop.people.models import User


@transaction.atomic
def let_go(arrival_id: int, went: str, words: str, by: User, now: datetime) -> Arrival:
    """Say what became of a parcel that is no build's, and why. Said alike twice is said once.

    :raises Refused: it is matched, no words say why, or somebody has said another thing before.
    """
    held = _locked(arrival_id)
    if (held.went, held.went_words) == (went, words.strip()) and went:
        return held
    if held.went:
        raise Refused(_said_first(held))
    if held.matches.filter(ended_at=None).exists():
        raise Refused(_("This parcel is matched to a build. Take that back first."))
    if went not in Went.values or not words.strip():
        raise Refused(_("Say what became of it, and in a few words why."))
    held.went, held.went_words, held.went_at, held.went_by = went, words.strip(), now, by
    if went != Went.KEPT:
        held.place = None  # it stands here no more
    held.save(update_fields=["went", "went_words", "went_at", "went_by", "place"])
    record("parcel_let_go", held.about, by, now, went=went, words=held.went_words)
    return held


@transaction.atomic
def take_up(arrival_id: int, by: User, now: datetime) -> Arrival:
    """Take back what was said of a parcel: somebody may place it after all. Twice is once."""
    held = _locked(arrival_id)
    if held.went:
        held.went, held.went_words, held.went_at, held.went_by = "", "", None, None
        held.save(update_fields=["went", "went_words", "went_at", "went_by"])
        record("parcel_taken_up", held.about, by, now)
    return held


def refuse_gone(arrival: Arrival) -> None:
    """Nothing is matched to a parcel of which somebody said that it is no build's.

    :raises Refused: that was said.
    """
    if arrival.went:
        raise Refused(_("%(said)s Take that back first.") % {"said": _said_first(arrival)})


def _said_first(arrival: Arrival) -> str:
    return _("%(who)s said of this parcel: %(went)s.") % {
        "who": arrival.went_by.name if arrival.went_by else "",
        "went": arrival.get_went_display(),
    }


def _locked(arrival_id: int) -> Arrival:
    # The lock that matching takes too: a parcel is not let go while someone ties it to a build.
    return Arrival.objects.select_for_update(of=("self",)).get(pk=arrival_id)
