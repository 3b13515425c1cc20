"""The booklet's section on the page of a hand-over: what it lacks, what is made, what is out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from ipaddress import ip_address
from urllib.parse import urlsplit

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.handover.booklet_words.contents import Contents
from builds.handover.models import Booklet
from builds.handover.queries.booklet import contents
from builds.handover.queries.booklet_paper import ready
from builds.handover.queries.booklets import in_order, newest_booklets, published_booklets
from builds.handover.queries.gestures import is_tried, standing_gestures
from builds.progress.models import Build
from builds.progress.queries import back_since, still_so
from builds.progress.states import FINISHED, STAGES
from builds.sounds.queries import slots_of
from shop.house.models import House

MAY_HAVE_ONE = frozenset({*STAGES, *FINISHED})


@dataclass(frozen=True)
class Lack:
    """What a good booklet would have; where it is put right, and what the link there says."""

    words: str
    link: str = ""
    deed: str = ""
    for_owner: bool = False


@dataclass(frozen=True)
class BookletPart:
    """All that the section shows. ``why_not``: why there is none for this build."""

    why_not: str = ""
    lacks: Sequence[Lack] = ()
    made: Sequence[Booklet] = ()  # the newest pair, usual type first
    out: Sequence[Booklet] = ()  # what the customer may see
    is_old: bool = False  # the build was changed since the newest was made
    is_out: bool = False  # the newest is what the customer may see

    @property
    def newest(self) -> Booklet | None:
        """The one whose key forms carry."""
        return self.made[0] if self.made else None

    @property
    def asks_to_be_made(self) -> bool:
        """Whether making it is the next deed."""
        return not self.why_not and (self.newest is None or self.is_old)


def why_no_booklet(build: Build) -> str:
    """Why a build gets no booklet; empty where it may."""
    if build.hilt is None:
        return _("A blade alone has no booklet: its figures stand on its own sheet.")
    if build.state not in MAY_HAVE_ONE:
        return _("This build ended unfinished: it gets no booklet.")
    return ""


def booklet_part(build: Build, shop: House, now: datetime) -> BookletPart:
    """The section of one build."""
    why_not = why_no_booklet(build)
    if why_not:
        return BookletPart(why_not)
    said = contents(build, shop, now)
    made = in_order(newest_booklets([build.pk]).get(build.pk, {}))
    out = in_order(published_booklets([build.pk]).get(build.pk, {}))
    return BookletPart(
        lacks=_lacks(build, said, shop, bool(made)),
        made=made,
        out=out,
        is_old=bool(made) and made[0].data_sha256 != said.mark,
        is_out=bool(made) and made == out,
    )


def _lacks(build: Build, said: Contents, shop: House, is_made: bool) -> list[Lack]:
    of_it = [*_of_use(build, said), *_of_parts(build, said)]
    return [*of_it, *_of_the_shop(said, shop, is_made)]


def _of_use(build: Build, said: Contents) -> Iterable[Lack]:
    card = reverse("sounds_slots", args=[build.number])
    gestures, back = standing_gestures([build.pk])[build.pk], back_since([build.pk]).get(build.pk)
    untried = [each.wanted for each in gestures if not is_tried(each, back)]
    unseen = [
        slot.name for slot in slots_of([build.pk])[build.pk] if not still_so(slot.verified_at, back)
    ]
    if not said.beings:
        yield Lack(_("No gesture is told"), "#gestures", _("Tell the gestures"))
    elif untried:
        words = _("Not tried on this hilt yet: %s") % _few(untried)
        yield Lack(words, "#gestures", _("Try them"))
    if not said.slots:
        yield Lack(_("No slot of the card is told"), card, _("Tell the slots"))
    elif unseen:
        yield Lack(_("Not seen on the unit yet: %s") % _few(unseen), card, _("Look at them"))


def _of_parts(build: Build, said: Contents) -> Iterable[Lack]:
    steps = reverse("hilts_steps", args=[build.hilt_id])
    parts = reverse("fitting_parts", args=[build.number])
    if not said.apart:
        yield Lack(_("No step of taking it apart for its owner"), steps, _("Note the steps"))
    if not said.inside:
        yield Lack(_("No part is fitted yet"), parts, _("See its parts"))
    if not said.battery:
        yield Lack(_("Nobody noted the cell that it runs on"), parts, _("List its cell"))
    if said.inside and not said.leave:
        words = _("No part says what its owner leaves alone; it stands with the part in stores")
        yield Lack(words, parts, _("See its parts"))
    if not said.measured:
        sheet = reverse("proving_sheet", args=[build.number])
        yield Lack(_("Nothing of the bench test has passed yet"), sheet, _("See the sheet"))


def _of_the_shop(said: Contents, shop: House, is_made: bool) -> Iterable[Lack]:
    settings = reverse("desk_settings")
    lacking = ready(said).lacks
    if lacking:
        words = _("Signs that the type of booklets lacks: %s. They will stand as an empty mark.")
        yield Lack(words % " ".join(lacking[:12]))
    if why := _why_no_code(said, shop, is_made):
        yield Lack(why, reverse("desk_addresses"), _("Settings, Addresses"), for_owner=True)
    if not said.mail and not said.phone:
        words = _("No mailbox and no telephone of the shop")
        yield Lack(words, settings, _("Settings"), for_owner=True)
    if not shop.warranty_words.strip():
        words = _("The warranty has no words of its own")
        yield Lack(words, reverse("desk_warranty"), _("Write them"), for_owner=True)


def _why_no_code(said: Contents, shop: House, is_made: bool) -> str:
    """Why there is no code to scan; the page that it leads to begins with the first booklet."""
    if not shop.public_url:
        return _("No code to scan: the shop has no public address")
    if _is_of_this_machine(shop.public_url):
        return _("The code to scan leads nowhere: the public address is of this machine alone")
    if is_made and not said.link:
        return _("No code to scan: the link to the page of this hilt is revoked")
    return ""


def _is_of_this_machine(url: str) -> bool:
    """Whether an address can be opened on the machine alone that the shop runs on."""
    name = urlsplit(url).hostname or ""
    try:
        return ip_address(name).is_loopback
    except ValueError:
        return name == "localhost" or name.endswith(".localhost")


def _few(names: Sequence[str]) -> str:
    return ", ".join(names[:3]) + (" …" if len(names) > 3 else "")
