"""Sessions that know whose they are: listed, told apart, ended one by one or all at once."""

import logging
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from typing import Any

from django.contrib.auth import SESSION_KEY, login, logout
from django.contrib.sessions.backends.base import UpdateError
from django.contrib.sessions.backends.db import SessionStore as DatabaseStore
from django.contrib.sessions.models import Session as DjangosSession
from django.db import transaction
from django.http import HttpRequest, HttpResponse

from shop import clock
from shop.history.actions import record
from shop.people.agents import LONGEST
from shop.people.models import Session, User
from shop.web.access import BY_PIN, PROVEN_AT
from shop.web.trouble import NO_ROOM, trouble_of

log = logging.getLogger("hiltyard.doors")
SINCE, SEEN, AGENT = "signed_in_at", "seen_at", "agent"
COARSE = timedelta(minutes=10)  # how often a look at a page is worth a write
LONGEST_SESSION = timedelta(days=90)  # however often it is used
BACKEND = "django.contrib.auth.backends.ModelBackend"


def mark_of(key: str | None) -> str:
    """What pages know a session by: nothing that opens it can be made from it."""
    return sha256((key or "").encode()).hexdigest()[:24]


def here(request: HttpRequest) -> str:
    """The mark of the session that asks."""
    return mark_of(request.session.session_key)


class SessionStore(DatabaseStore):
    """Django's own, with a row that says whose the session is."""

    @classmethod
    def get_model_class(cls) -> type[DjangosSession]:
        return Session  # type: ignore[return-value]  # of the same base, as Django means it

    def create_model_instance(self, data: dict[str, Any]) -> Any:
        if SESSION_KEY in data:
            data.setdefault(SINCE, clock.now().timestamp())
            data.setdefault(SEEN, data[SINCE])
        row: Any = super().create_model_instance(data)
        row.mark = mark_of(row.session_key)
        row.person_id = data.get(SESSION_KEY)
        row.agent = data.get(AGENT, "")
        row.since, row.seen = _moment(data.get(SINCE)), _moment(data.get(SEEN))
        row.by_pin = bool(data.get(BY_PIN))
        return row

    def save(self, must_create: bool = False) -> None:
        """Keep it. A full disk must not cost a page: when it was seen may stay as it was.

        What else is wrong with the database is told as that, not as a session that was ended.
        """
        try:
            super().save(must_create)
            return
        except UpdateError as error:
            beneath = error.__context__
            found = trouble_of(beneath)
            if found is None or beneath is None:
                raise
        if found is not NO_ROOM:
            raise beneath
        log.warning("a session was not kept: %s", beneath)


def _moment(seconds: float | None) -> datetime | None:
    return datetime.fromtimestamp(seconds, UTC) if seconds is not None else None


class SeenNow:
    """Notes, coarsely, when a session was used; ends one that is older than any may be."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.user.is_authenticated:
            now = clock.now().timestamp()
            _begin_no_later(request, now)
            if now - request.session.get(SINCE, now) > LONGEST_SESSION.total_seconds():
                logout(request)
            elif abs(now - request.session.get(SEEN, 0)) > COARSE.total_seconds():
                request.session[SEEN] = now
        return self.get_response(request)


def _begin_no_later(request: HttpRequest, now: float) -> None:
    # Begun while the clock was ahead: from what is to come its longest span would never end.
    if request.session.get(SINCE, now) > now + clock.AHEAD.total_seconds():
        request.session[SINCE] = now


def begin(request: HttpRequest, user: User, now: datetime) -> None:
    """Sign somebody in who has proven who they are by everything that is asked of them."""
    request.session.flush()  # nothing of whoever was here before goes along
    login(request, user, backend=BACKEND)
    request.session[AGENT] = request.headers.get("User-Agent", "")[:LONGEST]
    request.session[SINCE] = request.session[SEEN] = now.timestamp()
    request.session[PROVEN_AT] = now.timestamp()
    log.info("signed in: %s", user.about)


def begin_by_pin(request: HttpRequest, user: User, now: datetime) -> None:
    """Let somebody take over a tablet; how long it stays signed in stays as it was."""
    ends_with_the_browser = request.session.get_expire_at_browser_close()
    begin(request, user, now)
    del request.session[PROVEN_AT]
    request.session[BY_PIN] = True
    if ends_with_the_browser:
        request.session.set_expiry(0)


@transaction.atomic
def end_session(person: User, mark: str, *, by: User, now: datetime) -> bool:
    """End one of a person's sessions; False where it has ended already."""
    ended, _ = Session.objects.filter(person=person, mark=mark).delete()
    if ended:
        record("session_ended", person.about, by, now)
    return bool(ended)


@transaction.atomic
def end_other_sessions(person: User, *, keep: str | None, by: User | None, now: datetime) -> int:
    """End all sessions of a person but the one with this mark; how many there were."""
    ended, _ = Session.objects.filter(person=person).exclude(mark=keep or "").delete()
    if ended:
        record("sessions_ended", person.about, by, now, count=ended)
    return ended
