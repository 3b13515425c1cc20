"""Orders, their items, and the answers that bind."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from shop.files.models import Blob
from shop.orders.values import Consignee, key_of
from shop.people.models import Customer
from shop.stores.models import Part


class ItemKind(models.TextChoices):
    """A job on a hilt, or goods such as a blade, a spare cell, a charger."""

    JOB = "job", _("job")
    GOODS = "goods", _("goods")


class AnswerKind(models.TextChoices):
    """What a binding answer is about."""

    AGREED = "agreed", _("the job and its price")
    RECONFIRMED = "reconfirmed", _("still wanted, same options")
    HEAT = "heat", _("consent to heat")
    DRILLING = "drilling", _("consent to drilling")
    FINISH = "finish", _("consent to loss of finish")


class How(models.TextChoices):
    """How an answer came."""

    PAGE = "page", _("on the customer's page")
    MAIL = "mail", _("by mail")
    TELEPHONE = "telephone", _("by telephone")
    CHAT = "chat", _("in a chat")
    PERSON = "person", _("in person")


class EnquiryState(models.TextChoices):
    """Where an enquiry stands."""

    OPEN = "open", _("not answered yet")
    ANSWERED = "answered", _("answered")
    ORDERED = "ordered", _("became an order")
    LOST = "lost", _("came to nothing")


class Order(models.Model):
    """What a customer agreed to. Its number is running within the year: 2026-031."""

    number = models.CharField(max_length=12, unique=True)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="orders")
    placed_at = models.DateTimeField()
    needed_by = models.DateField(_("needed by"), null=True, blank=True)
    price_note = models.TextField(_("price, as agreed"), blank=True)
    note = models.TextField(_("note"), blank=True)
    reference = models.CharField(_("customer's reference"), max_length=80, blank=True)
    # Where it goes, if not to the customer's own address.
    ship_name = models.CharField(_("goes to"), max_length=120, blank=True)
    ship_address = models.TextField(_("address it goes to"), blank=True)
    ship_country = models.CharField(_("country it goes to"), max_length=2, blank=True)
    token = models.UUIDField(unique=True)

    class Meta:
        indexes = [models.Index(fields=["-placed_at", "-id"], name="order_newest")]

    def __str__(self) -> str:
        return self.number

    @property
    def consignee(self) -> Consignee:
        """To whom and where it goes; wants ``customer`` read along."""
        customer = self.customer
        name = self.ship_name or customer.full_name
        country = self.ship_country or customer.country
        address = self.ship_address or customer.address
        return Consignee(
            customer_id=customer.pk,
            key=key_of(name, address, country),
            called=self.ship_name or customer.called,
            full_name=name,
            address=address,
            country=country,
            phone="" if self.ship_name else customer.phone,
            is_elsewhere=bool(self.ship_name or self.ship_address or self.ship_country),
        )


class Item(models.Model):
    """One thing in an order: a job or goods."""

    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="items")
    kind = models.CharField(max_length=10, choices=ItemKind, default=ItemKind.JOB)
    wanted = models.TextField(_("what is wanted"))
    quantity = models.PositiveSmallIntegerField(default=1)
    # Given up: a job that ended unfinished. What was agreed for it is owed no more.
    dropped_at = models.DateTimeField(null=True, editable=False)
    # Goods that stand in stores.
    part = models.ForeignKey(
        Part, null=True, blank=True, on_delete=models.PROTECT, related_name="sold_as"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(part=None) | Q(kind="goods"), name="item_of_stores_is_goods"
            ),
            models.CheckConstraint(condition=Q(kind__in=ItemKind.values), name="item_kind_known"),
            models.CheckConstraint(
                condition=Q(quantity__gte=1) & (~Q(kind="job") | Q(quantity=1)),
                name="item_quantity_a_job_is_one",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind}: {self.wanted[:40]}"


class Answer(models.Model):
    """An answer that binds, in its exact words. Append-only by trigger; silence is never a yes."""

    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="answers")
    kind = models.CharField(max_length=20, choices=AnswerKind)
    is_yes = models.BooleanField()
    text = models.TextField()
    how = models.CharField(max_length=10, choices=How)
    by_customer = models.BooleanField(default=True)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=AnswerKind.values), name="answer_of_a_kind"
            ),
            models.CheckConstraint(condition=Q(how__in=How.values), name="answer_came_somehow"),
        ]
        indexes = [
            models.Index(fields=["item", "kind", "-at"], name="answer_latest"),
            models.Index(fields=["how", "-at"], name="answer_lately"),
        ]

    def __str__(self) -> str:
        return f"{self.kind}: {'yes' if self.is_yes else 'no'}"


class Asking(models.Model):
    """A consent that the shop asks for, in the exact words that the customer reads.

    Whether it is answered is asked of the answers: the first of its kind given after it. Nothing
    else closes it but taking it back, so that silence is never a yes.
    """

    token = models.UUIDField(unique=True)
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="askings")
    kind = models.CharField(_("what is asked"), max_length=20, choices=AnswerKind)
    words = models.TextField(_("in words"))
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)  # answered, or taken back

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=["heat", "drilling", "finish"]), name="asking_for_a_consent"
            ),
            models.CheckConstraint(condition=~Q(words=""), name="asking_in_words"),
            models.UniqueConstraint(
                fields=["item", "kind"], condition=Q(ended_at=None), name="asking_one_at_a_time"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} of {self.item_id}"


class Enquiry(models.Model):
    """What somebody asks for before there is an order: one we know, or words to reach them by."""

    token = models.UUIDField(unique=True)
    customer = models.ForeignKey(
        Customer, null=True, on_delete=models.PROTECT, related_name="enquiries"
    )
    called = models.CharField(_("name"), max_length=60, blank=True)
    contact = models.CharField(_("how to reach them"), max_length=200, blank=True)
    wishes = models.TextField(_("what they wish for"))
    deadline = models.DateField(_("needed by"), null=True, blank=True)
    how = models.CharField(_("how it came"), max_length=10, choices=How, blank=True)
    state = models.CharField(max_length=10, choices=EnquiryState, default=EnquiryState.OPEN)
    why_lost = models.CharField(_("why"), max_length=200, blank=True)
    came_at = models.DateTimeField()
    state_since = models.DateTimeField()
    noted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    order = models.OneToOneField(Order, null=True, on_delete=models.PROTECT, related_name="enquiry")

    class Meta:
        verbose_name_plural = "enquiries"
        constraints = [
            models.CheckConstraint(
                condition=Q(how="") | Q(how__in=How.values), name="enquiry_came_somehow"
            ),
            models.CheckConstraint(
                condition=Q(state__in=EnquiryState.values), name="enquiry_state_known"
            ),
            models.CheckConstraint(
                condition=Q(customer__isnull=False) | ~Q(called=""), name="enquiry_of_somebody"
            ),
            models.CheckConstraint(
                condition=Q(state="lost") & ~Q(why_lost="") | ~Q(state="lost") & Q(why_lost=""),
                name="enquiry_lost_says_why",
            ),
            models.CheckConstraint(
                condition=Q(state="ordered", order__isnull=False)
                | ~Q(state="ordered") & Q(order=None),
                name="enquiry_ordered_has_its_order",
            ),
        ]
        indexes = [
            models.Index(fields=["state", "came_at"], name="enquiry_waits"),
        ]

    def __str__(self) -> str:
        return self.who

    @property
    def about(self) -> str:
        """The key under which history knows this enquiry."""
        return f"enquiry:{self.pk}"

    @property
    def who(self) -> str:
        """Who asks, in a word."""
        return self.customer.called if self.customer else self.called

    @property
    def is_settled(self) -> bool:
        """Whether nothing more is to be done about it."""
        return self.state in {EnquiryState.ORDERED, EnquiryState.LOST}


class EnquiryPhoto(models.Model):
    """A photo that came with an enquiry: a link to its bytes, each once. Append-only by trigger."""

    enquiry = models.ForeignKey(Enquiry, on_delete=models.PROTECT, related_name="photos")
    blob = models.ForeignKey(Blob, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["enquiry", "blob"], name="enquiry_photo_once")
        ]

    def __str__(self) -> str:
        return f"{self.enquiry_id}: {self.blob_id}"
