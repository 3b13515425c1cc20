"""Messages in and out, the shop's own wording, and the customers' private links."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from shop.files.models import Blob
from shop.people.models import Customer


class Occasion(models.TextChoices):
    """Why a message is written."""

    POSTING = "posting", _("post it to us")
    ARRIVED = "arrived", _("it arrived safely")
    STAGE = "stage", _("a stage was reached")
    HOLD = "hold", _("on hold, your answer")
    QUOTE = "quote", _("a quote to answer")
    CHANGE = "change", _("a change order to answer")
    CONSENT = "consent", _("a consent to give")
    CAME = "came", _("the parts came")
    SHIPS_ON = "ships_on", _("ships on")
    SENT = "sent", _("sent, with tracking")
    FILM = "film", _("the film is there")
    LATE = "late", _("later than told")
    SHIP_BY = "ship_by", _("ship-by reminder to the shop")
    CHASE = "chase", _("a hold to ask about again")
    DIGEST = "digest", _("the morning's list to the shop")
    TEST = "test", _("test mail")
    PASSWORD = "password", _("a new password")
    PAPER = "paper", _("an invoice, a credit note, a receipt")
    RETURN_NOTED = "return_noted", _("a return is noted")
    RETURN_DECIDED = "return_decided", _("a return is decided")
    FREE = "free", _("in your own words")


# What is written on these occasions names sums, which the bench does not see.
OF_MONEY = frozenset({Occasion.PAPER})


class Scope(models.TextChoices):
    """What a private link opens."""

    ORDER = "order", _("order: status and answers")
    HILT = "hilt", _("hilt: film, booklet, care")


class PrivateLink(models.Model):
    """A link is its id and an HMAC of id and version: nothing secret lies in the database."""

    id = models.CharField(max_length=16, primary_key=True)
    scope = models.CharField(max_length=10, choices=Scope)
    about = models.CharField(max_length=60, unique=True)
    version = models.PositiveSmallIntegerField(default=1)
    made_at = models.DateTimeField()
    expires_on = models.DateField(null=True)
    revoked_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(scope__in=Scope.values), name="link_scope_known")
        ]

    def __str__(self) -> str:
        return f"{self.scope} link {self.id}"


class State(models.TextChoices):
    """Where a message stands."""

    QUEUED = "queued", _("waiting to leave")
    SENT = "sent", _("left")
    FAILED = "failed", _("failed")
    WITHDRAWN = "withdrawn", _("withdrawn")
    RECEIVED = "received", _("received")
    LOGGED = "logged", _("said elsewhere")


class Message(models.Model):
    """One message. The row is the job: what is queued leaves, however often a worker dies.

    ``key`` makes a cause speak once. ``body`` keeps ``$link`` until delivery, so that no working
    link lies in the database.
    """

    key = models.CharField(max_length=120, unique=True)
    about = models.CharField(max_length=60, blank=True)
    occasion = models.CharField(max_length=20, choices=Occasion)
    customer = models.ForeignKey(
        Customer, null=True, on_delete=models.PROTECT, related_name="messages"
    )
    to = models.EmailField(blank=True)
    subject = models.CharField(max_length=200)
    body = models.TextField()
    link = models.ForeignKey(PrivateLink, null=True, on_delete=models.PROTECT, related_name="+")
    state = models.CharField(max_length=10, choices=State, default=State.QUEUED)
    message_id = models.CharField(max_length=120, unique=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    not_before = models.DateTimeField()
    # A claim is a lease that runs out, so that a crash leaves a row that someone picks up.
    leased_until = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)
    last_error = models.TextField(blank=True)
    done_at = models.DateTimeField(null=True)
    # The move or the line of a purchase order that caused it: taking that back withdraws it.
    cause = models.CharField(max_length=60, blank=True)
    # What an answer answers; and when somebody said that a question needs none.
    answer_to = models.ForeignKey(
        "self", null=True, on_delete=models.PROTECT, related_name="replies"
    )
    settled_at = models.DateTimeField(null=True)
    blobs = models.ManyToManyField(Blob, through="Attachment", related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(state__in=State.values), name="message_state_known"),
            models.CheckConstraint(
                condition=~Q(state="queued") | ~Q(to=""), name="message_queued_has_address"
            ),
            models.CheckConstraint(
                condition=Q(occasion__in=Occasion.values), name="message_occasion_known"
            ),
        ]
        indexes = [
            models.Index(fields=["about", "-made_at"], name="message_about"),
            models.Index(fields=["state", "-made_at"], name="message_of_state"),
            models.Index(fields=["customer", "-done_at"], name="message_of_customer"),
            models.Index(fields=["not_before"], name="message_due", condition=Q(state="queued")),
            models.Index(fields=["cause"], name="message_cause", condition=~Q(cause="")),
            models.Index(
                fields=["answer_to"],
                name="message_answers",
                condition=Q(answer_to__isnull=False),
            ),
            models.Index(
                fields=["made_at"],
                name="message_open_question",
                condition=Q(state="received", settled_at=None),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.occasion} {self.about}"

    @property
    def is_of_money(self) -> bool:
        """Whether its words are the owner's alone."""
        return self.occasion in OF_MONEY


class Attachment(models.Model):
    """What goes with a message: a photo as a small rendition, a document as it is, by its name."""

    message = models.ForeignKey(Message, on_delete=models.CASCADE, related_name="attachments")
    blob = models.ForeignKey(Blob, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["message", "blob"], name="attachment_once")]

    def __str__(self) -> str:
        return f"{self.message_id}: {self.blob_id}"


class Wording(models.Model):
    """The shop's own words for an occasion; without a row the tool's default stands."""

    occasion = models.CharField(max_length=20, choices=Occasion, unique=True)
    subject = models.CharField(max_length=200)
    body = models.TextField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(occasion__in=Occasion.values), name="wording_occasion_known"
            )
        ]

    def __str__(self) -> str:
        return self.occasion
