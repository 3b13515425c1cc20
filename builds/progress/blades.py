"""Ties the blade of a job, or the one that goes home with a hilt, to its build."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.hilts.models import Blade
from builds.progress.models import Build
from builds.progress.queries import locked
from builds.progress.refusals import Refused
from shop.history.actions import record
from shop.history.queries import entries_about
from shop.people.models import User


@transaction.atomic
def tie_blade(
    build_id: int, blade: Blade | None, *, seen: int | None, by: User, now: datetime
) -> Build:
    """Say which blade a build is about, or goes home with; None for no blade of its own.

    :param seen: the blade that the page showed.
    :raises Refused: the build has ended, the blade is another customer's or gone, or another
        tablet chose one meanwhile.
    """
    build = locked(build_id)
    chosen = blade.pk if blade else None
    if build.blade_id == chosen:
        return build
    if not build.is_open:
        raise Refused(_("This build has ended; its blade stays as it is."))
    if build.blade_id != seen:
        raise Refused(_chosen_first(build))
    if blade:
        _check(build, blade)
    build.blade = blade
    build.save(update_fields=["blade"])
    verb = "blade_tied" if blade else "blade_untied"
    record(verb, build.about, by, now, **({"name": blade.name} if blade else {}))
    return build


def _check(build: Build, blade: Blade) -> None:
    if blade.customer_id != build.item.order.customer_id:
        raise Refused(_("%(blade)s belongs to another customer.") % {"blade": blade})
    if blade.ended_at:
        raise Refused(_("%(blade)s is gone: %(why)s.") % {
            "blade": blade, "why": blade.ended_because
        })  # fmt: skip


def _chosen_first(build: Build) -> str:
    last = next(iter(entries_about(build.about, limit=1)), None)
    who = last.who if last and last.who else _("Somebody")
    return _("%(who)s was first: %(what)s. Look at the blade, then choose again.") % {
        "who": who, "what": last.text if last else ""
    }  # fmt: skip
