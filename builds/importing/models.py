"""A sheet that is brought in, what was found wrong with it, and what it made."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from builds.importing.states import AT_WORK, DayOrder, Decimals, Doubles, How, Kind, Reading, State
from shop.files.models import Blob
from shop.house.models import LengthUnit

_STAFF = settings.AUTH_USER_MODEL


class Import(models.Model):
    """One sheet on its way in. The row is the job: a sweep takes up what a worker left."""

    token = models.UUIDField(unique=True)
    kind = models.CharField(max_length=10, choices=Kind)
    state = models.CharField(max_length=10, choices=State, default=State.MATCHING)
    # The file itself goes when the import has ended; its hash stays, to know it again.
    blob = models.ForeignKey(Blob, null=True, on_delete=models.PROTECT, related_name="+")
    sha256 = models.CharField(max_length=64, db_index=True)
    file_name = models.CharField(max_length=120)
    sheets = models.JSONField(default=list)
    # How it is read.
    encoding = models.CharField(max_length=10, blank=True)
    delimiter = models.CharField(max_length=1, blank=True)
    sheet = models.CharField(max_length=60, blank=True)
    header_row = models.PositiveIntegerField(default=1)
    decimals = models.CharField(max_length=5, choices=Decimals, default=Decimals.POINT)
    day_order = models.CharField(max_length=3, choices=DayOrder, default=DayOrder.DMY)
    length_unit = models.CharField(max_length=2, choices=LengthUnit, default=LengthUnit.MM)
    doubles = models.CharField(max_length=4, choices=Doubles, default=Doubles.STOP)
    headers = models.JSONField(default=list)
    header_key = models.CharField(max_length=64, blank=True, db_index=True)
    # Field → {"column": 3} or {"fixed": "full"}; is_guessed until a person has looked at it.
    mapping = models.JSONField(default=dict)
    is_guessed = models.BooleanField(default=True)
    # Where the worker stands.
    claimed_at = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)
    rows = models.PositiveIntegerField(default=0)
    rows_done = models.PositiveIntegerField(default=0)
    problem = models.CharField(max_length=300, blank=True)
    # What the dry run counted.
    stops = models.PositiveIntegerField(default=0)
    new = models.PositiveIntegerField(default=0)
    found = models.PositiveIntegerField(default=0)
    changed = models.PositiveIntegerField(default=0)
    again = models.BooleanField(default=False)  # the same file, and somebody says so
    made_at = models.DateTimeField()
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    state_since = models.DateTimeField()
    kept_at = models.DateTimeField(null=True)
    kept_by = models.ForeignKey(_STAFF, null=True, on_delete=models.PROTECT, related_name="+")
    undone_at = models.DateTimeField(null=True)
    undone_by = models.ForeignKey(_STAFF, null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-made_at", "-id"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=Kind.values), name="import_kind_known"),
            models.CheckConstraint(condition=Q(state__in=State.values), name="import_state_known"),
            models.CheckConstraint(
                condition=~Q(state__in=["kept", "undoing", "undone"])
                | Q(kept_at__isnull=False, kept_by__isnull=False),
                name="import_kept_by_somebody",
            ),
            models.CheckConstraint(
                condition=~Q(state="keeping") | Q(stops=0), name="import_kept_only_when_clean"
            ),
        ]
        indexes = [
            models.Index(fields=["id"], name="import_at_work", condition=Q(state__in=list(AT_WORK)))
        ]

    def __str__(self) -> str:
        return f"{self.kind}: {self.file_name}"

    @property
    def about(self) -> str:
        """The key under which history knows this import."""
        return f"import:{self.pk}"

    @property
    def stamp(self) -> str:
        """What a page carries, to notice that somebody else was first."""
        return self.state_since.isoformat()

    @property
    def reading(self) -> Reading:
        """How its file is read."""
        return Reading(self.encoding, self.delimiter, self.sheet, self.header_row)

    @property
    def is_at_work(self) -> bool:
        """Whether the worker has it, or will."""
        return self.state in AT_WORK

    @property
    def is_clean(self) -> bool:
        """Whether it was checked and nothing stands in its way."""
        return self.state == State.CHECKED and not self.stops and not self.problem


class Finding(models.Model):
    """What the dry run has to say of one cell: a problem, or only told."""

    of = models.ForeignKey(Import, on_delete=models.CASCADE, related_name="findings")
    stops = models.BooleanField(default=True)
    row = models.PositiveIntegerField()  # as the owner's program numbers it
    column = models.PositiveSmallIntegerField(null=True)  # 0 is A; None: the whole row
    field = models.CharField(max_length=40, blank=True)
    value = models.CharField(max_length=120, blank=True)
    sentence = models.CharField(max_length=400)

    class Meta:
        ordering = ["row", "column", "id"]
        indexes = [models.Index(fields=["of", "-stops", "row"], name="finding_in_turn")]

    def __str__(self) -> str:
        return f"row {self.row}: {self.sentence}"


class Made(models.Model):
    """One thing that an import made or changed, by its row. Append-only by trigger."""

    of = models.ForeignKey(Import, on_delete=models.PROTECT, related_name="made")
    row = models.PositiveIntegerField()
    how = models.CharField(max_length=8, choices=How)
    about = models.CharField(max_length=60)  # as in "customer:5"
    # What it was before, where it was changed.
    before = models.JSONField(default=dict)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=Q(how__in=How.values), name="made_how_known"),
            models.UniqueConstraint(fields=["of", "about"], name="made_once_an_import"),
        ]

    def __str__(self) -> str:
        return f"{self.about} from row {self.row}"
