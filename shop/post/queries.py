"""Reads the outbox and the inbox, and opens private links."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from urllib.parse import quote

from django.conf import settings
from django.db.models import Count, Exists, Max, Min, OuterRef, Q, QuerySet
from django.urls import get_script_prefix

from shop.house.models import House
from shop.people.models import Customer
from shop.post import links, wording
from shop.post.models import Message, Occasion, PrivateLink, State, Wording
from shop.web import mailserver

# What reached a customer by our doing, by mail or otherwise.
TOLD = (State.SENT, State.LOGGED)


def messages() -> QuerySet[Message]:
    """Every message, newest first, with what a page shows of it."""
    return (
        Message.objects.select_related("customer", "link", "made_by")
        .prefetch_related("blobs")
        .order_by("-made_at", "-id")
    )


def of_customer(customer: Customer) -> QuerySet[Message]:
    """What was said to and by a customer."""
    return messages().filter(customer=customer)


def of_about(*about: str) -> QuerySet[Message]:
    """What was said about one thing, or several."""
    return messages().filter(about__in=about)


def queued() -> QuerySet[Message]:
    """What waits to leave, the next one first."""
    return messages().filter(state=State.QUEUED).order_by("not_before", "id")


def failed() -> QuerySet[Message]:
    """What did not leave and is not tried again by itself."""
    return messages().filter(state=State.FAILED)


@dataclass(frozen=True)
class Outbox:
    """How the outbox stands."""

    waiting: int
    failed: int
    oldest: datetime | None  # since when the one that is due longest is due


def outbox() -> Outbox:
    """How the outbox stands, in one query; what left long ago is not counted through."""
    open_ones = Message.objects.filter(state__in=(State.QUEUED, State.FAILED))
    waits = Q(state=State.QUEUED)
    counted = open_ones.aggregate(
        waiting=Count("pk", filter=waits),
        failed=Count("pk", filter=Q(state=State.FAILED)),
        oldest=Min("not_before", filter=waits),
    )
    return Outbox(**counted)


def sent() -> QuerySet[Message]:
    """What left."""
    return messages().filter(state=State.SENT).order_by("-done_at", "-id")


def inbox() -> QuerySet[Message]:
    """What customers wrote on their pages."""
    return messages().filter(state=State.RECEIVED)


def open_questions() -> QuerySet[Message]:
    """Questions of customers that nobody has answered, the oldest first.

    An answer is a message that was written as one, or that said something in our own words to
    that customer later on. News of a stage, say, answers nothing.
    """
    later = Q(customer=OuterRef("customer"), made_at__gt=OuterRef("made_at"))
    ours = Q(state=State.LOGGED) | Q(state__in=(State.SENT, State.QUEUED), occasion=Occasion.FREE)
    meant = Q(answer_to=OuterRef("pk"), state__in=(*TOLD, State.QUEUED))
    answered = (Exists(Message.objects.filter(how)) for how in (meant, later & ours))
    waiting = Message.objects.filter(state=State.RECEIVED, settled_at=None)
    # Asked one after the other: for "or" no index serves.
    return (
        waiting.filter(*(~each for each in answered))
        .select_related("customer")
        .order_by("made_at", "pk")
    )


def counts() -> dict[str, int]:
    """How many messages stand in each state; states without any are 0."""
    found = dict(Message.objects.values_list("state").annotate(Count("id")).order_by())
    return {state: found.get(state, 0) for state in State.values}


def last_told(abouts: Iterable[str]) -> dict[str, datetime]:
    """When the customer last heard from the shop about each thing."""
    told = Message.objects.filter(about__in=list(abouts), state__in=TOLD, customer__isnull=False)
    return dict(told.order_by().values_list("about").annotate(Max("done_at")))


def told_because(causes: Iterable[str]) -> list[str]:
    """Whom we told something because of these causes, by the names that we greet them with."""
    told = Message.objects.filter(cause__in=list(causes), state=State.SENT, customer__isnull=False)
    return sorted(set(told.values_list("customer__called", flat=True)))


def mail_goes_nowhere() -> bool:
    """Whether mail is laid down as files, because no mail server is set."""
    return not mailserver.is_set()


def share_links(customer: Customer, text: wording.Text) -> Mapping[str, str]:
    """Addresses that open the telephone's own messages, or a mail program, with the text in."""
    phone = "".join(sign for sign in customer.phone if sign.isdigit() or sign == "+")
    to, subject, body = quote(customer.email, safe="@"), quote(text.subject), quote(text.body)
    return {
        "sms": f"sms:{phone}?&body={body}",
        "mailto": f"mailto:{to}?subject={subject}&body={body}",
    }


def wording_of(occasion: str) -> wording.Text:
    """The shop's words for an occasion, or the tool's where the shop has none."""
    own = Wording.objects.filter(occasion=occasion).first()
    return wording.Text(own.subject, own.body) if own else wording.default(occasion)


def open_link(scope: str, token: str, today: date) -> PrivateLink | None:
    """The link that a token proves. Unknown, wrong, revoked and expired look all alike."""
    link_id, proof = links.split(token)
    found = PrivateLink.objects.filter(id=link_id).first()
    link = found or PrivateLink(id=link_id, scope=scope)
    proven = links.is_proof(proof, link.id, link.version, settings.LINK_KEY)
    fits = link.scope == scope and link.revoked_at is None
    alive = link.expires_on is None or today <= link.expires_on
    return found if proven and fits and alive else None


def links_to(abouts: Iterable[str]) -> dict[str, PrivateLink]:
    """The private links that were made to things, by what they are about; revoked ones too."""
    return {link.about: link for link in PrivateLink.objects.filter(about__in=list(abouts))}


def url_of(link: PrivateLink | None, house: House) -> str | None:
    """The address that opens a link; None where it is revoked or the shop has no public address."""
    if link is None or link.revoked_at or not house.public_url:
        return None
    token = links.token(link.id, link.version, settings.LINK_KEY)
    return f"{house.public_url.rstrip('/')}{get_script_prefix()}your/{link.scope}/{token}/"


def text_of(message: Message, house: House) -> str:
    """A message's text as the customer reads it, with its link put in.

    The link by which one of the staff sets a password is not shown here: it is for one reader.
    """
    return wording.with_link(message.body, url_of(message.link, house))
