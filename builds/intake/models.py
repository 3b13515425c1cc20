"""Arrivals and what came in them; photos of every stage; cell checks and condition notes."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.progress.models import Build, Place
from builds.progress.states import STAGES, State
from shop.files.models import Blob
from shop.web.figures import pointed

_STAFF = settings.AUTH_USER_MODEL


class BoxState(models.TextChoices):
    """How the box looked before it was opened."""

    SOUND = "sound", _("box sound")
    DENTED = "dented", _("dented")
    TORN = "torn", _("torn or open")
    WET = "wet", _("wet")


class Went(models.TextChoices):
    """What became of a parcel that is no build's."""

    BACK = "back", _("sent back to the sender")
    ON = "on", _("passed on to whom it belongs")
    DISPOSED = "disposed", _("disposed of")
    KEPT = "kept", _("kept by the shop, for no build")


class Arrival(models.Model):
    """A parcel that came. It is matched to builds at once, later or never.

    One that will never be any build's ends with what became of it.
    """

    token = models.UUIDField(unique=True)
    came_at = models.DateTimeField()
    received_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    sender = models.CharField(_("from"), max_length=120, blank=True)
    carrier = models.CharField(_("carrier"), max_length=60, blank=True)
    tracking = models.CharField(_("tracking number"), max_length=60, blank=True, db_index=True)
    box = models.CharField(_("box and tape"), max_length=10, choices=BoxState)
    note = models.TextField(_("note"), blank=True)
    nothing_else = models.BooleanField(_("nothing else was in the box"), default=False)
    # Where the box stands until it is matched; then the build says where.
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="+")
    # Whether some build's match of it is open: kept by matching, so that what waits is an index.
    is_matched = models.BooleanField(default=False, db_default=False, editable=False)
    went = models.CharField(_("what became of it"), max_length=10, choices=Went, blank=True)
    went_words = models.CharField(_("in words"), max_length=200, blank=True)
    went_at = models.DateTimeField(null=True)
    went_by = models.ForeignKey(_STAFF, null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(box__in=BoxState.values), name="arrival_box_known"),
            models.CheckConstraint(
                condition=Q(went="", went_words="", went_at=None, went_by=None)
                | Q(went__in=Went.values, went_at__isnull=False, went_by__isnull=False)
                & ~Q(went_words=""),
                name="arrival_went_with_words",
            ),
        ]
        indexes = [
            models.Index(fields=["-came_at", "-id"], name="arrival_newest"),
            models.Index(
                fields=["-came_at", "-id"],
                name="arrival_waits",
                condition=Q(is_matched=False, went=""),
            ),
        ]

    def __str__(self) -> str:
        return f"arrival {self.pk}"

    @property
    def about(self) -> str:
        """The key under which history knows this arrival."""
        return f"arrival:{self.pk}"


class Match(models.Model):
    """That a parcel held the hilt of a build. A wrong one is ended, not deleted."""

    arrival = models.ForeignKey(Arrival, on_delete=models.PROTECT, related_name="matches")
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="matches")
    at = models.DateTimeField()
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["arrival", "build"], condition=Q(ended_at=None), name="match_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.arrival_id} holds {self.build_id}"


class View(models.Model):
    """A view that the shop wants photographed, and the stage whose gate asks for it."""

    code = models.SlugField(max_length=30, unique=True)
    label = models.CharField(_("view"), max_length=40)
    stage = models.CharField(_("needed to leave"), max_length=10, choices=State)
    position = models.PositiveSmallIntegerField(default=0)
    required = models.BooleanField(_("required"), default=True)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["stage", "position", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(stage__in=STAGES), name="view_asked_in_a_stage")
        ]

    def __str__(self) -> str:
        return self.label


class Photo(models.Model):
    """A link from an arrival or a build to a blob: the same bytes twice are one photo.

    Matching an arrival gives the build links of its own, marked with the arrival they came by,
    so that a wrong match can be taken back.
    """

    blob = models.ForeignKey(Blob, on_delete=models.PROTECT, related_name="photos")
    arrival = models.ForeignKey(Arrival, null=True, on_delete=models.PROTECT, related_name="photos")
    build = models.ForeignKey(Build, null=True, on_delete=models.PROTECT, related_name="photos")
    came_by = models.ForeignKey(Arrival, null=True, on_delete=models.PROTECT, related_name="+")
    # Of a parcel with several hilts: the one that this photo shows alone.
    only = models.ForeignKey(Build, null=True, on_delete=models.PROTECT, related_name="+")
    view = models.ForeignKey(View, null=True, on_delete=models.PROTECT, related_name="photos")
    stage = models.CharField(max_length=10, choices=State)
    caption = models.CharField(_("caption"), max_length=120, blank=True)
    shared = models.BooleanField(_("customer may see it"), default=False)
    taken_at = models.DateTimeField()
    taken_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["taken_at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["arrival", "blob"],
                condition=Q(arrival__isnull=False),
                name="photo_once_an_arrival",
            ),
            models.UniqueConstraint(
                fields=["build", "blob"],
                condition=Q(build__isnull=False),
                name="photo_once_a_build",
            ),
            models.CheckConstraint(
                condition=Q(arrival=None, build__isnull=False)
                | Q(arrival__isnull=False, build=None),
                name="photo_of_one_thing",
            ),
            models.CheckConstraint(
                condition=Q(only=None) | Q(arrival__isnull=False), name="photo_only_of_a_parcel"
            ),
            models.CheckConstraint(condition=Q(stage__in=State.values), name="photo_stage_known"),
        ]

    def __str__(self) -> str:
        return f"photo {self.pk}"


class Belonging(models.Model):
    """Something that came in the customer's box and goes back, or is told why not."""

    arrival = models.ForeignKey(Arrival, on_delete=models.PROTECT, related_name="belongings")
    build = models.ForeignKey(Build, null=True, on_delete=models.PROTECT, related_name="belongings")
    what = models.CharField(_("what"), max_length=80)
    quantity = models.PositiveSmallIntegerField(_("how many"), default=1)
    returned_at = models.DateTimeField(null=True)
    kept_because = models.CharField(_("not returned, told why"), max_length=120, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gte=1), name="belonging_at_least_one")
        ]

    def __str__(self) -> str:
        return self.what


class CellResult(models.TextChoices):
    """What the look at the cell found."""

    NONE = "none", _("no cell inside")
    GOOD = "good", _("cell out, wrap whole")
    REWRAP = "rewrap", _("cell out, needs a new wrap")
    ASIDE = "aside", _("cell damaged, set aside")


class CellCheck(models.Model):
    """A look at the lithium cell before any heat or tool. Append-only; the newest counts."""

    arrival = models.ForeignKey(
        Arrival, null=True, on_delete=models.PROTECT, related_name="cell_checks"
    )
    build = models.ForeignKey(
        Build, null=True, on_delete=models.PROTECT, related_name="cell_checks"
    )
    result = models.CharField(_("cell"), max_length=10, choices=CellResult)
    millivolts = models.PositiveIntegerField(_("voltage"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(arrival__isnull=False) | Q(build__isnull=False),
                name="cell_check_of_something",
            ),
            models.CheckConstraint(
                condition=Q(result__in=CellResult.values), name="cell_check_result_known"
            ),
        ]

    def __str__(self) -> str:
        return self.result

    @property
    def volts(self) -> str:
        """The voltage as it is shown: two decimals, a narrow space, the unit."""
        return pointed(f"{self.millivolts / 1000:.2f}") + "\u202fV" if self.millivolts else ""


class Grade(models.TextChoices):
    """A grade for a section's surface; words and a photo stand beside it."""

    SOUND = "sound", _("sound")
    WORN = "worn", _("worn")
    MARKED = "marked", _("marked")
    DAMAGED = "damaged", _("damaged")


class ConditionNote(models.Model):
    """How one section of the hilt looked when it came. Append-only by trigger.

    A mark is a point on the photo as it stands upright, in fractions of its width and height.
    """

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="condition_notes")
    section = models.CharField(_("section"), max_length=60)
    grade = models.CharField(_("grade"), max_length=10, choices=Grade)
    words = models.CharField(_("in words"), max_length=300)
    photo = models.ForeignKey(Photo, null=True, on_delete=models.SET_NULL, related_name="+")
    mark_x = models.FloatField(null=True)
    mark_y = models.FloatField(null=True)
    came_by = models.ForeignKey(Arrival, null=True, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(
                # A comparison with nothing refuses nothing: both must be there in so many words.
                condition=Q(mark_x=None, mark_y=None)
                | Q(
                    mark_x__isnull=False,
                    mark_y__isnull=False,
                    mark_x__gte=0,
                    mark_x__lte=1,
                    mark_y__gte=0,
                    mark_y__lte=1,
                ),
                name="condition_mark_on_its_photo",
            ),
            models.CheckConstraint(
                condition=Q(grade__in=Grade.values), name="condition_grade_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.section}: {self.grade}"
