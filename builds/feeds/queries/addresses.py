"""Reads feeds: whose they are, by which address they are read, what an address opens."""

import hmac
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from ipaddress import ip_address
from urllib.parse import urlsplit
from uuid import UUID

from django.conf import settings
from django.db.models import QuerySet
from django.urls import reverse

from builds.feeds.models import Feed
from shop.people.models import User
from shop.post import links

VERSION = 1  # a revoked feed is not opened again: another one is made


@dataclass(frozen=True)
class Own:
    """A feed with its address, for the one who made it."""

    feed: Feed
    address: str
    subscribe: str  # opens the calendar of the device that it is tapped on; empty where it cannot


def address_of(feed: Feed, base: str) -> str:
    """The secret address, computed from the row and the shop's key."""
    token = links.token(feed.address_id, VERSION, settings.LINK_KEY)
    return base.rstrip("/") + reverse("feeds_read", args=[token])


def feed_at(token: str) -> Feed | None:
    """The feed that a token proves. Unknown, wrong, revoked and of one who left look all alike."""
    address_id, proof = links.split(token)
    found = Feed.objects.filter(address_id=address_id).select_related("person").first()
    proven = links.is_proof(proof, address_id, VERSION, settings.LINK_KEY)
    if found is None or not proven or found.revoked_at or not found.person.is_active:
        return None
    return found


def this_shop() -> UUID:
    """What tells this shop's events from another's, and tells nobody whose they are."""
    return UUID(bytes=hmac.digest(settings.LINK_KEY.encode(), b"calendar", sha256)[:16])


def feeds_for(person: User) -> QuerySet[Feed]:
    """The feeds that somebody may revoke: their own, and for the owner everybody's."""
    every = Feed.objects.select_related("person", "revoked_by").order_by("-made_at", "-pk")
    return every if person.is_owner else every.filter(person=person)


def own_feeds(feeds: Sequence[Feed], person: User, base: str) -> list[Own]:
    """Those of them that are somebody's own, with their addresses."""
    own = [feed for feed in feeds if feed.person_id == person.pk]
    return [_own(feed, address_of(feed, base)) for feed in own]


def _own(feed: Feed, address: str) -> Own:
    _scheme, _, rest = address.partition("://")
    return Own(feed, address, "" if is_this_machine(address) else f"webcal://{rest}")


def is_this_machine(address: str) -> bool:
    """Whether an address leads nowhere but to the machine on which it is opened."""
    host = urlsplit(address).hostname or ""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost" or host.endswith(".localhost")
