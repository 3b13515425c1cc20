"""Makes, revokes and renews customers' private links."""

from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import F

from shop.history.actions import record
from shop.post import links
from shop.post.models import PrivateLink


def link_for(scope: str, about: str, now: datetime) -> PrivateLink:
    """The private link to one thing, made at first asking."""
    link, _made = PrivateLink.objects.get_or_create(
        about=about, defaults={"id": links.new_id(), "scope": scope, "made_at": now}
    )
    if link.scope != scope:
        raise ValueError(f"{about} has a link of scope {link.scope}, not {scope}")
    return link


def keep_open_until(link: PrivateLink, last_day: date | None) -> PrivateLink:
    """Let a link open until the end of a day; None: it does not run out."""
    if link.expires_on != last_day:
        link.expires_on = last_day
        link.save(update_fields=["expires_on"])
    return link


@transaction.atomic
def revoke(link: PrivateLink, by: Any, now: datetime) -> None:
    """Close a link: whoever has it sees what a stranger sees."""
    changed = PrivateLink.objects.filter(pk=link.pk, revoked_at=None).update(revoked_at=now)
    if changed:
        record("link_revoked", link.about, by, now)
    link.refresh_from_db()


@transaction.atomic
def renew(link: PrivateLink, by: Any, now: datetime) -> PrivateLink:
    """Give a link a new version: the old address is dead, the new one opens."""
    PrivateLink.objects.filter(pk=link.pk).update(version=F("version") + 1, revoked_at=None)
    record("link_renewed", link.about, by, now)
    link.refresh_from_db()
    return link
