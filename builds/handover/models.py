"""Gestures, shots, the film and its chapters, booklets, and hilts that are announced back."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.handover.states import Being, CellNow, Covered, Pays, Type
from builds.progress.models import Build
from shop.files.models import Blob
from shop.orders.models import How
from shop.stores.models import Part

_STAFF = settings.AUTH_USER_MODEL


class _Told(models.Model):
    """What to do, see and hear in one state, and how to get out."""

    being = models.CharField(_("when it is"), max_length=10, choices=Being)
    wanted = models.CharField(_("to get"), max_length=80)
    do = models.CharField(_("do"), max_length=160)
    see = models.CharField(_("see"), max_length=160, blank=True)
    hear = models.CharField(_("hear"), max_length=160, blank=True)
    out = models.CharField(_("get out again"), max_length=160, blank=True)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        abstract = True


class BoardGesture(_Told):
    """A line of the plan that is kept with a board in stores."""

    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="gestures")
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["part", "position", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(being__in=Being.values), name="board_gesture_being_known"
            ),
        ]

    def __str__(self) -> str:
        return self.wanted


class Gesture(_Told):
    """A line of one build, from its board's plan or its own; tried on the actual unit."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="gestures")
    plan = models.ForeignKey(
        BoardGesture, null=True, on_delete=models.PROTECT, related_name="in_builds"
    )
    tried_at = models.DateTimeField(null=True)
    tried_by = models.ForeignKey(_STAFF, null=True, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["build", "position", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(being__in=Being.values), name="gesture_being_known"),
            models.CheckConstraint(
                condition=Q(tried_at=None, tried_by=None)
                | Q(tried_at__isnull=False, tried_by__isnull=False),
                name="gesture_tried_by_someone",
            ),
        ]

    def __str__(self) -> str:
        return self.wanted


class ShotTick(models.Model):
    """That a shot of the list was filmed; taken back, it stays told."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="shots")
    code = models.CharField(max_length=60)  # a line of the shot list
    at = models.DateTimeField()
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    taken_back_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["build", "code"],
                condition=Q(taken_back_at=None),
                name="shot_ticked_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} of {self.build_id}"


class Film(models.Model):
    """The film of one build for its owner: a file of ours, or a link to one elsewhere."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="films")
    blob = models.ForeignKey(Blob, null=True, on_delete=models.PROTECT, related_name="+")
    link = models.URLField(_("link"), blank=True)
    # Made by the worker where the machine has the program for it.
    smaller = models.ForeignKey(Blob, null=True, on_delete=models.PROTECT, related_name="+")
    poster = models.ForeignKey(Blob, null=True, on_delete=models.PROTECT, related_name="+")
    seconds = models.FloatField(null=True)
    looked_at = models.DateTimeField(null=True)  # by the worker
    tries = models.PositiveSmallIntegerField(default=0)  # of the step that comes next
    tried_at = models.DateTimeField(null=True)
    problem = models.CharField(max_length=200, blank=True)
    added_at = models.DateTimeField()
    added_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    published_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["build"], condition=Q(ended_at=None), name="film_one_a_build"
            ),
            models.CheckConstraint(
                condition=Q(blob__isnull=False, link="") | Q(blob=None) & ~Q(link=""),
                name="film_of_a_file_or_a_link",
            ),
        ]

    def __str__(self) -> str:
        return f"film of {self.build_id}"

    @property
    def about(self) -> str:
        """The key under which history knows this film."""
        return f"film:{self.pk}"


class Chapter(models.Model):
    """Where in a film something begins."""

    film = models.ForeignKey(Film, on_delete=models.PROTECT, related_name="chapters")
    begins_ms = models.PositiveIntegerField()
    title = models.CharField(_("chapter"), max_length=120)
    shot = models.CharField(max_length=60, blank=True)  # the line of the shot list it shows

    class Meta:
        ordering = ["film", "begins_ms", "id"]
        constraints = [
            models.UniqueConstraint(fields=["film", "begins_ms"], name="chapter_once_a_moment"),
        ]

    def __str__(self) -> str:
        return self.title


class Booklet(models.Model):
    """A booklet as it was made: the same data make the same bytes."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="booklets")
    type_size = models.CharField(_("type"), max_length=6, choices=Type, default=Type.USUAL)
    blob = models.ForeignKey(Blob, on_delete=models.PROTECT, related_name="+")
    data_sha256 = models.CharField(max_length=64)  # of what it was made from
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    published_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["build", "-made_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(type_size__in=Type.values), name="booklet_type_known"
            ),
            # What a customer sees is one of each size: the one before goes as the next is shown.
            models.UniqueConstraint(
                fields=["build", "type_size"],
                condition=Q(published_at__isnull=False),
                name="booklet_one_out_of_a_size",
            ),
        ]

    def __str__(self) -> str:
        return f"booklet of {self.build_id}"


class Warranty(models.Model):
    """What was promised as a build left: later changes of the settings leave it as it is."""

    build = models.OneToOneField(Build, on_delete=models.PROTECT, related_name="warranty")
    left_on = models.DateField()
    last_day = models.DateField()
    words = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(last_day__gte=models.F("left_on")), name="warranty_ends_after_it_began"
            ),
        ]

    def __str__(self) -> str:
        return f"warranty of {self.build_id}"


class Return(models.Model):
    """A hilt announced back after it left: its number stands on the box that comes."""

    token = models.UUIDField(unique=True)
    number = models.PositiveIntegerField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="returns")
    announced_at = models.DateTimeField()
    words = models.TextField(_("what is wrong"))
    how = models.CharField(_("how it came"), max_length=10, choices=How, default=How.PAGE)
    cell = models.CharField(_("the cell"), max_length=10, choices=CellNow, default=CellNow.UNKNOWN)
    # Nobody of the staff: the customer announced it on the hilt's page.
    noted_by = models.ForeignKey(_STAFF, null=True, on_delete=models.PROTECT, related_name="+")
    covered = models.CharField(_("warranty"), max_length=12, choices=Covered, blank=True)
    because = models.CharField(_("because"), max_length=200, blank=True)
    pays = models.CharField(_("carriage"), max_length=10, choices=Pays, blank=True)
    decided_at = models.DateTimeField(null=True)
    decided_by = models.ForeignKey(_STAFF, null=True, on_delete=models.PROTECT, related_name="+")
    # The build that it became, on the same hilt.
    became = models.OneToOneField(
        Build, null=True, on_delete=models.PROTECT, related_name="came_from"
    )
    ended_at = models.DateTimeField(null=True)  # came to nothing
    ended_because = models.CharField(_("why"), max_length=200, blank=True)

    class Meta:
        ordering = ["-announced_at"]
        constraints = [
            models.CheckConstraint(
                condition=(Q(covered="") | Q(covered__in=Covered.values))
                & (Q(pays="") | Q(pays__in=Pays.values))
                & Q(how__in=How.values, cell__in=CellNow.values),
                name="return_words_known",
            ),
            models.CheckConstraint(
                condition=Q(covered="", pays="", decided_at=None, decided_by=None)
                | ~Q(covered="")
                & ~Q(pays="")
                & Q(decided_at__isnull=False, decided_by__isnull=False),
                name="return_decided_at_a_time",
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None, ended_because="")
                | Q(ended_at__isnull=False, became=None) & ~Q(ended_because=""),
                name="return_ended_says_why",
            ),
            models.UniqueConstraint(
                fields=["build"],
                condition=Q(ended_at=None, became=None),
                name="return_one_open_a_build",
            ),
        ]

    def __str__(self) -> str:
        return f"R{self.number:04d}"

    @property
    def about(self) -> str:
        """The key under which history knows this return."""
        return f"return:{self.pk}"

    @property
    def is_open(self) -> bool:
        """Whether it has become no build yet and did not come to nothing."""
        return self.ended_at is None and self.became_id is None

    @property
    def is_harmed(self) -> bool:
        """Whether its cell must not travel by post."""
        return self.cell == CellNow.HARMED

    @property
    def is_free(self) -> bool:
        """Whether the shop does it without being paid."""
        return self.covered in {Covered.COVERED, Covered.GOODWILL}


class ReturnPhoto(models.Model):
    """A photo that came with an announcement: a link to its bytes, each once."""

    announced = models.ForeignKey(Return, on_delete=models.PROTECT, related_name="photos")
    blob = models.ForeignKey(Blob, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["announced", "blob"], name="return_photo_once")
        ]

    def __str__(self) -> str:
        return f"{self.announced_id}: {self.blob_id}"
