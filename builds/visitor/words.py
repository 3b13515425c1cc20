"""What a customer reads about a build: plain words for its state, without the bench's own."""

from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.progress.models import Build, Hold
from builds.progress.states import HoldReason, Kind, Leaves, State
from builds.queue.queries import Due
from builds.queue.queries.words import in_ten
from shop.web.dated import dated

# State → while it waits its turn, and once someone has started. %(it)s begins the sentence.
_HEADLINES = {
    State.INTAKE: (
        gettext_lazy("%(it)s is here"),
        gettext_lazy("%(it)s is being looked over"),
    ),
    State.TEARDOWN: (
        gettext_lazy("%(it)s is next to be taken apart"),
        gettext_lazy("%(it)s is being taken apart"),
    ),
    State.INSTALL: (
        gettext_lazy("%(it)s is next to be wired"),
        gettext_lazy("%(it)s is being wired"),
    ),
    State.TEST: (
        gettext_lazy("%(it)s is built and waits for its tests"),
        gettext_lazy("%(it)s is being tested"),
    ),
    State.DISPATCH: (gettext_lazy("%(it)s is finished"), gettext_lazy("%(it)s is being packed")),
}
_ENDED = {
    State.SENT: gettext_lazy("%(it)s is on its way to you"),
    State.COLLECTED: gettext_lazy("%(it)s is back with you"),
    State.RETURNED: gettext_lazy("%(it)s goes back to you unfinished"),
    State.WITHDRAWN: gettext_lazy("The work on %(it)s was called off"),
    State.ABANDONED: gettext_lazy("The work on %(it)s has ended"),
}
_NEXT = {
    State.INTAKE: gettext_lazy("Next we note how it looks, then take it apart."),
    State.TEARDOWN: gettext_lazy("Next we measure it, try the parts, and begin the wiring."),
    State.INSTALL: gettext_lazy("Next come its tests: every switch, sound and colour."),
    State.TEST: gettext_lazy("Next it is packed for the road."),
}
_DONE = {
    Kind.FULL: gettext_lazy("Light and sound fitted"),
    Kind.UPGRADE: gettext_lazy("Brought up to date"),
    Kind.REPAIR: gettext_lazy("Repaired"),
    Kind.WARRANTY: gettext_lazy("Put right under warranty"),
    Kind.BLADE: gettext_lazy("Blade made"),
}
_ASKED = {
    HoldReason.ANSWER: gettext_lazy("We need your answer"),
    HoldReason.STUCK: gettext_lazy("We need your answer"),
    HoldReason.WARRANTY: gettext_lazy("We need your answer"),
    HoldReason.ITEM: gettext_lazy("We wait for something from you"),
    HoldReason.SOUNDS: gettext_lazy("We wait for your sound files"),
    HoldReason.DEPOSIT: gettext_lazy("We wait for your deposit"),
    HoldReason.BALANCE: gettext_lazy("We wait for your payment"),
}
_WAITS = {
    HoldReason.PARTS: gettext_lazy("A part is on its way to us. You need do nothing."),
    HoldReason.PART_WRONG: gettext_lazy("A part has to be replaced. You need do nothing."),
    HoldReason.CARRIER: gettext_lazy("We wait for the carrier. You need do nothing."),
}


def subject_of(build: Build, by_name: bool) -> str:
    """How the page speaks of the thing: by its name where an order holds several."""
    if build.hilt is None:
        return _("Your blade")
    return build.hilt.name if by_name else _("Your hilt")


def headline(
    build: Build,
    *,
    by_name: bool,
    is_here: bool,
    is_packed: bool,
    is_ready: bool = False,
    is_kept_away: bool = False,
) -> str:
    """The state of a build in one line."""
    it = {"it": subject_of(build, by_name)}
    if build.state == State.BOOKED:
        return (_("%(it)s is here") if is_here else _expected(build, is_kept_away)) % it
    if build.state == State.DISPATCH and is_packed:
        return _("%(it)s is packed") % it
    if is_ready:
        return _("%(it)s is finished and waits for you") % it
    if build.state in _ENDED:
        return _ended(build, by_name)
    waiting, started = _HEADLINES[State(build.state)]
    return (started if build.started_at else waiting) % it


def _expected(build: Build, is_kept_away: bool) -> str:
    if is_kept_away:
        return _("%(it)s stays where it is until we have called you")
    return _("%(it)s is booked") if build.hilt is None else _("%(it)s is expected here")


def _ended(build: Build, by_name: bool) -> str:
    it = subject_of(build, by_name)
    if build.state in {State.WITHDRAWN, State.ABANDONED} and not (by_name and build.hilt):
        it = _("your blade") if build.hilt is None else _("your hilt")
    return _ENDED[State(build.state)] % {"it": it}


def next_step(build: Build) -> str:
    """What comes after the stage that a build is in; empty where the page says it otherwise."""
    return str(_NEXT.get(State(build.state), ""))


def done(build: Build) -> str:
    """What was done to a hilt, once it is finished."""
    return str(_DONE[Kind(build.kind)])


def went_on(build: Build, day: date) -> str:
    """How and on which day a finished build left, in one line."""
    words = _("posted %s") if build.state == State.SENT else _("collected %s")
    return words % dated(day, "full").replace(" ", "\u00a0")


def asked(held: Hold) -> str:
    """The head of a hold that is the customer's turn."""
    return str(_ASKED.get(HoldReason(held.reason), _("It is your turn")))


def waits(held: Hold) -> str:
    """A hold that is not the customer's turn, without the bench's own words."""
    return str(_WAITS.get(HoldReason(held.reason), _("It waits for us. You need do nothing.")))


def odds_line(odds: float | None, is_past: bool) -> str:
    """How likely the day is, for whoever wants to plan with it; nothing once it is past."""
    if odds is None or is_past:
        return ""
    return _("How sure that is: %s.") % in_ten(odds)


def due_line(build: Build, due: Due, is_past: bool) -> str:
    """The latest day told, in one line."""
    # A day is not broken over two lines.
    day = {"day": dated(due.day, "long").replace(" ", "\u00a0")}
    if build.leaves_by == Leaves.POST:
        return (_("Was to be posted by %(day)s") if is_past else _("Posted by %(day)s")) % day
    return (_("Was to be ready by %(day)s") if is_past else _("Ready to collect by %(day)s")) % day
