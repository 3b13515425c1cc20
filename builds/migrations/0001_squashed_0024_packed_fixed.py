import django.core.validators
import django.db.models.deletion
import shop.append_only
import shop.first_tables
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    replaces = [
        ("builds", "0001_first"),
        ("builds", "0002_append_only"),
        ("builds", "0003_marks"),
        ("builds", "0004_hold_asked"),
        ("builds", "0005_lists"),
        ("builds", "0006_fitting"),
        ("builds", "0007_measured_append_only"),
        ("builds", "0008_parts_and_wires"),
        ("builds", "0009_hold_for_a_quote"),
        ("builds", "0010_bounds"),
        ("builds", "0011_decided_on_figures"),
        ("builds", "0012_part_starts"),
        ("builds", "0013_parcels_to_pack"),
        ("builds", "0014_parcels_fixed"),
        ("builds", "0015_hand_over"),
        ("builds", "0016_proof_append_only"),
        ("builds", "0017_importing"),
        ("builds", "0018_sound_sets"),
        ("builds", "0019_sound_sets_guarded"),
        ("builds", "0020_older_choices"),
        ("builds", "0021_pass_of_its_stay"),
        ("builds", "0022_arrival_went"),
        ("builds", "0023_proof_let_by"),
        ("builds", "0024_packed_fixed"),
    ]

    initial = True

    dependencies = [
        ("shop", "0022_dropped_jobs"),
    ]

    operations = [
        shop.first_tables.CreateTables(
            models=[
                migrations.CreateModel(
                    name="Place",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "name",
                            models.CharField(max_length=40, unique=True, verbose_name="place"),
                        ),
                        ("retired", models.BooleanField(default=False)),
                    ],
                    options={
                        "ordering": ["name"],
                    },
                ),
                migrations.CreateModel(
                    name="Hilt",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("name", models.CharField(max_length=80, verbose_name="hilt")),
                        (
                            "name_folded",
                            models.CharField(db_index=True, editable=False, max_length=80),
                        ),
                        ("note", models.TextField(blank=True, verbose_name="note")),
                        ("since", models.DateTimeField(editable=False)),
                        (
                            "customer",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="hilts",
                                to="shop.customer",
                            ),
                        ),
                    ],
                ),
                migrations.CreateModel(
                    name="BoardGesture",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "being",
                            models.CharField(
                                choices=[
                                    ("asleep", "asleep"),
                                    ("off", "off"),
                                    ("on", "on"),
                                    ("menu", "in a menu"),
                                    ("effect", "in an effect"),
                                    ("charging", "charging"),
                                    ("low", "battery low"),
                                    ("hung", "hung"),
                                ],
                                max_length=10,
                                verbose_name="when it is",
                            ),
                        ),
                        ("wanted", models.CharField(max_length=80, verbose_name="to get")),
                        ("do", models.CharField(max_length=160, verbose_name="do")),
                        ("see", models.CharField(blank=True, max_length=160, verbose_name="see")),
                        ("hear", models.CharField(blank=True, max_length=160, verbose_name="hear")),
                        (
                            "out",
                            models.CharField(
                                blank=True, max_length=160, verbose_name="get out again"
                            ),
                        ),
                        ("position", models.PositiveSmallIntegerField(default=0)),
                        ("retired", models.BooleanField(default=False)),
                        (
                            "part",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="gestures",
                                to="shop.part",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["part", "position", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "being__in",
                                        [
                                            "asleep",
                                            "off",
                                            "on",
                                            "menu",
                                            "effect",
                                            "charging",
                                            "low",
                                            "hung",
                                        ],
                                    )
                                ),
                                name="board_gesture_being_known",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Tray",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("number", models.PositiveSmallIntegerField(unique=True)),
                        ("retired", models.BooleanField(default=False)),
                    ],
                    options={
                        "ordering": ["number"],
                    },
                ),
                migrations.CreateModel(
                    name="CardProfile",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "rate_hz",
                            models.PositiveIntegerField(
                                default=44100, verbose_name="sample rate, Hz"
                            ),
                        ),
                        ("bits", models.PositiveSmallIntegerField(default=16, verbose_name="bits")),
                        (
                            "channels",
                            models.PositiveSmallIntegerField(default=1, verbose_name="channels"),
                        ),
                        (
                            "longest_name",
                            models.PositiveSmallIntegerField(
                                default=64, verbose_name="longest file name"
                            ),
                        ),
                        (
                            "letters",
                            models.CharField(
                                default="A-Za-z0-9_-",
                                max_length=40,
                                verbose_name="letters in a name",
                            ),
                        ),
                        (
                            "ending",
                            models.CharField(default="wav", max_length=8, verbose_name="ending"),
                        ),
                        (
                            "card_mib",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="card, MiB"
                            ),
                        ),
                        (
                            "cluster_kib",
                            models.PositiveIntegerField(default=32, verbose_name="cluster, KiB"),
                        ),
                        (
                            "part",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="card_profile",
                                to="shop.part",
                            ),
                        ),
                    ],
                ),
                migrations.CreateModel(
                    name="Service",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("name", models.CharField(max_length=60, verbose_name="name")),
                        ("carrier", models.CharField(max_length=60, verbose_name="carrier")),
                        (
                            "mode",
                            models.CharField(
                                choices=[
                                    ("us-ground", "road or rail, United States"),
                                    ("adr-road", "road, Europe (ADR)"),
                                    ("air", "air"),
                                    ("usps-domestic-surface", "United States post, by surface"),
                                    ("usps-domestic-air", "United States post, by air"),
                                    ("usps-abroad", "United States post, abroad"),
                                ],
                                max_length=24,
                                verbose_name="travels by",
                            ),
                        ),
                        (
                            "sides",
                            models.CharField(
                                choices=[
                                    ("cm-kg", "centimetres and kilograms"),
                                    ("in-lb", "inches and pounds"),
                                ],
                                default="cm-kg",
                                max_length=6,
                                verbose_name="reckons in",
                            ),
                        ),
                        (
                            "divisor",
                            models.FloatField(
                                blank=True,
                                null=True,
                                verbose_name="divisor of the dimensional weight",
                            ),
                        ),
                        (
                            "rounds_sides_up",
                            models.BooleanField(
                                default=False, verbose_name="each side is rounded up first"
                            ),
                        ),
                        (
                            "weight_step",
                            models.FloatField(
                                blank=True,
                                null=True,
                                verbose_name="weight is rounded up to the next",
                            ),
                        ),
                        (
                            "volume_above",
                            models.FloatField(
                                blank=True, null=True, verbose_name="only above a volume of"
                            ),
                        ),
                        (
                            "most_g",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="heaviest parcel"
                            ),
                        ),
                        ("covered_minor", models.PositiveBigIntegerField(blank=True, null=True)),
                        (
                            "transit_days",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="days on the way, at most"
                            ),
                        ),
                        (
                            "follow_url",
                            models.CharField(
                                blank=True, max_length=200, verbose_name="page to follow a number"
                            ),
                        ),
                        ("position", models.PositiveSmallIntegerField(default=0)),
                        ("retired", models.BooleanField(default=False)),
                    ],
                    options={
                        "ordering": ["position", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "mode__in",
                                        [
                                            "us-ground",
                                            "adr-road",
                                            "air",
                                            "usps-domestic-surface",
                                            "usps-domestic-air",
                                            "usps-abroad",
                                        ],
                                    ),
                                    ("sides__in", ["cm-kg", "in-lb"]),
                                ),
                                name="service_words_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("divisor", None), ("divisor__gt", 0), _connector="OR"
                                    ),
                                    models.Q(
                                        ("weight_step", None),
                                        ("weight_step__gt", 0),
                                        _connector="OR",
                                    ),
                                    models.Q(
                                        ("volume_above", None),
                                        ("volume_above__gte", 0),
                                        _connector="OR",
                                    ),
                                ),
                                name="service_figures_above_zero",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Import",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("customers", "customers"),
                                    ("orders", "open orders"),
                                    ("parts", "parts"),
                                    ("stock", "stock"),
                                ],
                                max_length=10,
                            ),
                        ),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("matching", "columns to be matched"),
                                    ("checking", "being checked"),
                                    ("checked", "checked"),
                                    ("keeping", "being brought in"),
                                    ("kept", "brought in"),
                                    ("undoing", "being taken back"),
                                    ("undone", "taken back"),
                                    ("dropped", "given up"),
                                ],
                                default="matching",
                                max_length=10,
                            ),
                        ),
                        ("sha256", models.CharField(db_index=True, max_length=64)),
                        ("file_name", models.CharField(max_length=120)),
                        ("sheets", models.JSONField(default=list)),
                        ("encoding", models.CharField(blank=True, max_length=10)),
                        ("delimiter", models.CharField(blank=True, max_length=1)),
                        ("sheet", models.CharField(blank=True, max_length=60)),
                        ("header_row", models.PositiveIntegerField(default=1)),
                        (
                            "decimals",
                            models.CharField(
                                choices=[("point", "1,234.50"), ("comma", "1.234,50")],
                                default="point",
                                max_length=5,
                            ),
                        ),
                        (
                            "day_order",
                            models.CharField(
                                choices=[
                                    ("dmy", "14/12/2026: day first"),
                                    ("mdy", "12/14/2026: month first"),
                                ],
                                default="dmy",
                                max_length=3,
                            ),
                        ),
                        (
                            "length_unit",
                            models.CharField(
                                choices=[("mm", "millimetres"), ("in", "inches")],
                                default="mm",
                                max_length=2,
                            ),
                        ),
                        (
                            "doubles",
                            models.CharField(
                                choices=[
                                    ("stop", "show me each one first"),
                                    ("ours", "use the one we have, leave the row out"),
                                ],
                                default="stop",
                                max_length=4,
                            ),
                        ),
                        ("headers", models.JSONField(default=list)),
                        ("header_key", models.CharField(blank=True, db_index=True, max_length=64)),
                        ("mapping", models.JSONField(default=dict)),
                        ("is_guessed", models.BooleanField(default=True)),
                        ("claimed_at", models.DateTimeField(null=True)),
                        ("tries", models.PositiveSmallIntegerField(default=0)),
                        ("rows", models.PositiveIntegerField(default=0)),
                        ("rows_done", models.PositiveIntegerField(default=0)),
                        ("problem", models.CharField(blank=True, max_length=300)),
                        ("stops", models.PositiveIntegerField(default=0)),
                        ("new", models.PositiveIntegerField(default=0)),
                        ("found", models.PositiveIntegerField(default=0)),
                        ("changed", models.PositiveIntegerField(default=0)),
                        ("again", models.BooleanField(default=False)),
                        ("made_at", models.DateTimeField()),
                        ("state_since", models.DateTimeField()),
                        ("kept_at", models.DateTimeField(null=True)),
                        ("undone_at", models.DateTimeField(null=True)),
                        (
                            "blob",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.blob",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "kept_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "undone_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-made_at", "-id"],
                        "indexes": [
                            models.Index(
                                condition=models.Q(
                                    ("state__in", ["checking", "keeping", "undoing"])
                                ),
                                fields=["id"],
                                name="import_at_work",
                            )
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("kind__in", ["customers", "orders", "parts", "stock"])
                                ),
                                name="import_kind_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "state__in",
                                        [
                                            "matching",
                                            "checking",
                                            "checked",
                                            "keeping",
                                            "kept",
                                            "undoing",
                                            "undone",
                                            "dropped",
                                        ],
                                    )
                                ),
                                name="import_state_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("state__in", ["kept", "undoing", "undone"]), _negated=True
                                    ),
                                    models.Q(
                                        ("kept_at__isnull", False), ("kept_by__isnull", False)
                                    ),
                                    _connector="OR",
                                ),
                                name="import_kept_by_somebody",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("state", "keeping"), _negated=True),
                                    ("stops", 0),
                                    _connector="OR",
                                ),
                                name="import_kept_only_when_clean",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Instrument",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "name",
                            models.CharField(max_length=60, unique=True, verbose_name="instrument"),
                        ),
                        (
                            "checked_on",
                            models.DateField(blank=True, null=True, verbose_name="last checked"),
                        ),
                        ("retired", models.BooleanField(default=False)),
                    ],
                    options={
                        "ordering": ["name"],
                    },
                ),
                migrations.CreateModel(
                    name="View",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("code", models.SlugField(max_length=30, unique=True)),
                        ("label", models.CharField(max_length=40, verbose_name="view")),
                        (
                            "stage",
                            models.CharField(
                                choices=[
                                    ("booked", "booked"),
                                    ("intake", "intake"),
                                    ("teardown", "teardown"),
                                    ("install", "install"),
                                    ("test", "test"),
                                    ("dispatch", "dispatch"),
                                    ("sent", "sent"),
                                    ("collected", "collected"),
                                    ("returned", "returned unfinished"),
                                    ("withdrawn", "withdrawn"),
                                    ("abandoned", "abandoned"),
                                ],
                                max_length=10,
                                verbose_name="needed to leave",
                            ),
                        ),
                        ("position", models.PositiveSmallIntegerField(default=0)),
                        ("required", models.BooleanField(default=True, verbose_name="required")),
                        ("retired", models.BooleanField(default=False)),
                    ],
                    options={
                        "ordering": ["stage", "position", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "stage__in",
                                        (
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                        ),
                                    )
                                ),
                                name="view_asked_in_a_stage",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="SheetLine",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("code", models.SlugField(max_length=30, unique=True)),
                        ("position", models.PositiveSmallIntegerField(default=0)),
                        ("name", models.CharField(max_length=80, verbose_name="test")),
                        ("how", models.CharField(blank=True, max_length=200, verbose_name="how")),
                        (
                            "caution",
                            models.CharField(blank=True, max_length=200, verbose_name="caution"),
                        ),
                        (
                            "read",
                            models.CharField(
                                choices=[
                                    ("figure", "a reading with a unit"),
                                    ("eye", "seen or heard: right or not"),
                                    ("count", "so many of so many"),
                                    ("timed", "runs for a time"),
                                ],
                                max_length=8,
                                verbose_name="is read",
                            ),
                        ),
                        ("unit", models.CharField(blank=True, max_length=10, verbose_name="unit")),
                        ("low", models.FloatField(blank=True, null=True, verbose_name="at least")),
                        ("high", models.FloatField(blank=True, null=True, verbose_name="at most")),
                        (
                            "high_told",
                            models.FloatField(blank=True, null=True, verbose_name="told, at most"),
                        ),
                        (
                            "times",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="how many times"
                            ),
                        ),
                        (
                            "minutes",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="minutes"
                            ),
                        ),
                        ("reckons", models.CharField(blank=True, max_length=30)),
                        (
                            "mark",
                            models.CharField(
                                choices=[
                                    ("published", "published, the source’s name was not kept"),
                                    ("common", "common practice, no source"),
                                    ("reasoned", "follows from other figures"),
                                    ("memory", "from memory, unchecked"),
                                    ("reckoned", "reckoned from this build’s own figures"),
                                    ("shop", "the shop’s own"),
                                ],
                                default="shop",
                                max_length=10,
                                verbose_name="limit comes from",
                            ),
                        ),
                        (
                            "wants",
                            models.CharField(
                                choices=[
                                    ("any", "every build"),
                                    ("cell", "a cell"),
                                    ("hilt", "a hilt"),
                                    ("blade", "a blade"),
                                    ("pixels", "a pixel blade"),
                                    ("speaker", "a speaker"),
                                    ("switch", "a switch"),
                                    ("port", "a charge port"),
                                    ("card", "a card with slots"),
                                    ("removable", "a chassis that comes out"),
                                ],
                                max_length=10,
                                verbose_name="asked of builds with",
                            ),
                        ),
                        (
                            "in_short",
                            models.BooleanField(
                                default=False, verbose_name="on the short sheet too"
                            ),
                        ),
                        (
                            "in_blade",
                            models.BooleanField(
                                default=False, verbose_name="on a blade’s own sheet"
                            ),
                        ),
                        ("only_after", models.SlugField(blank=True, max_length=30)),
                        (
                            "never_pass",
                            models.BooleanField(default=False, verbose_name="nobody may pass it"),
                        ),
                        ("retired", models.BooleanField(default=False)),
                    ],
                    options={
                        "ordering": ["position", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "mark__in",
                                        [
                                            "published",
                                            "common",
                                            "reasoned",
                                            "memory",
                                            "reckoned",
                                            "shop",
                                        ],
                                    ),
                                    ("read__in", ["figure", "eye", "count", "timed"]),
                                    (
                                        "wants__in",
                                        [
                                            "any",
                                            "cell",
                                            "hilt",
                                            "blade",
                                            "pixels",
                                            "speaker",
                                            "switch",
                                            "port",
                                            "card",
                                            "removable",
                                        ],
                                    ),
                                ),
                                name="sheet_line_words_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("low", None),
                                    ("high", None),
                                    ("low__lte", models.F("high")),
                                    _connector="OR",
                                ),
                                name="sheet_line_low_is_not_above_high",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="SoundSet",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("name", models.CharField(max_length=80, verbose_name="name")),
                        (
                            "name_folded",
                            models.CharField(db_index=True, editable=False, max_length=80),
                        ),
                        (
                            "licence",
                            models.CharField(
                                choices=[
                                    ("one-buyer", "one customer’s own, for that customer alone"),
                                    ("anyone", "the shop may fit it for anyone"),
                                    ("own", "the shop’s own work"),
                                ],
                                max_length=10,
                                verbose_name="licence",
                            ),
                        ),
                        (
                            "licence_words",
                            models.CharField(
                                blank=True, max_length=200, verbose_name="licence, in words"
                            ),
                        ),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("kept", "waits to be looked at"),
                                    ("looking", "is being looked at"),
                                    ("looked", "looked at"),
                                    ("failed", "could not be read"),
                                ],
                                default="kept",
                                max_length=8,
                            ),
                        ),
                        ("done", models.PositiveIntegerField(default=0)),
                        ("total", models.PositiveIntegerField(default=0)),
                        ("tries", models.PositiveSmallIntegerField(default=0)),
                        ("problem", models.CharField(blank=True, max_length=300)),
                        ("added_at", models.DateTimeField()),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "added_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "archive",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.blob",
                            ),
                        ),
                        (
                            "customer",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="sound_sets",
                                to="shop.customer",
                            ),
                        ),
                        (
                            "made_from",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="copies",
                                to="builds.soundset",
                            ),
                        ),
                        (
                            "made_for",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.part",
                            ),
                        ),
                        ("stirred_at", models.DateTimeField(null=True)),
                    ],
                    options={
                        "ordering": ["name_folded", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("licence__in", ["one-buyer", "anyone", "own"]),
                                    ("state__in", ["kept", "looking", "looked", "failed"]),
                                ),
                                name="sound_set_words_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("licence", "one-buyer"), _negated=True),
                                    ("customer__isnull", False),
                                    _connector="OR",
                                ),
                                name="sound_set_of_one_buyer_has_its_buyer",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("made_for", None), ("made_from", None)),
                                    models.Q(
                                        ("made_for__isnull", False), ("made_from__isnull", False)
                                    ),
                                    _connector="OR",
                                ),
                                name="sound_set_copy_is_for_a_board",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Arrival",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("came_at", models.DateTimeField()),
                        (
                            "sender",
                            models.CharField(blank=True, max_length=120, verbose_name="from"),
                        ),
                        (
                            "carrier",
                            models.CharField(blank=True, max_length=60, verbose_name="carrier"),
                        ),
                        (
                            "tracking",
                            models.CharField(
                                blank=True,
                                db_index=True,
                                max_length=60,
                                verbose_name="tracking number",
                            ),
                        ),
                        (
                            "box",
                            models.CharField(
                                choices=[
                                    ("sound", "box sound"),
                                    ("dented", "dented"),
                                    ("torn", "torn or open"),
                                    ("wet", "wet"),
                                ],
                                max_length=10,
                                verbose_name="box and tape",
                            ),
                        ),
                        ("note", models.TextField(blank=True, verbose_name="note")),
                        (
                            "nothing_else",
                            models.BooleanField(
                                default=False, verbose_name="nothing else was in the box"
                            ),
                        ),
                        (
                            "received_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "place",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="builds.place",
                            ),
                        ),
                        (
                            "went",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("back", "sent back to the sender"),
                                    ("on", "passed on to whom it belongs"),
                                    ("disposed", "disposed of"),
                                    ("kept", "kept by the shop, for no build"),
                                ],
                                max_length=10,
                                verbose_name="what became of it",
                            ),
                        ),
                        ("went_at", models.DateTimeField(null=True)),
                        (
                            "went_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "went_words",
                            models.CharField(blank=True, max_length=200, verbose_name="in words"),
                        ),
                    ],
                    options={
                        "indexes": [
                            models.Index(fields=["-came_at", "-id"], name="arrival_newest")
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("box__in", ["sound", "dented", "torn", "wet"])),
                                name="arrival_box_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("went", ""),
                                        ("went_at", None),
                                        ("went_by", None),
                                        ("went_words", ""),
                                    ),
                                    models.Q(
                                        ("went__in", ["back", "on", "disposed", "kept"]),
                                        ("went_at__isnull", False),
                                        ("went_by__isnull", False),
                                        models.Q(("went_words", ""), _negated=True),
                                    ),
                                    _connector="OR",
                                ),
                                name="arrival_went_with_words",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Blade",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("name", models.CharField(max_length=80, verbose_name="blade")),
                        (
                            "diameter_mm",
                            models.FloatField(blank=True, null=True, verbose_name="diameter"),
                        ),
                        (
                            "length_mm",
                            models.FloatField(blank=True, null=True, verbose_name="length"),
                        ),
                        (
                            "pixels",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="pixels, counted"
                            ),
                        ),
                        (
                            "connector",
                            models.CharField(blank=True, max_length=60, verbose_name="connector"),
                        ),
                        ("note", models.CharField(blank=True, max_length=200, verbose_name="note")),
                        ("since", models.DateTimeField(editable=False)),
                        (
                            "customer",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="blades",
                                to="shop.customer",
                            ),
                        ),
                        (
                            "part",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="blades",
                                to="shop.part",
                            ),
                        ),
                        (
                            "tried_in",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="blades",
                                to="builds.hilt",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("diameter_mm", None),
                                        ("diameter_mm__gt", 0),
                                        _connector="OR",
                                    ),
                                    models.Q(
                                        ("length_mm", None), ("length_mm__gt", 0), _connector="OR"
                                    ),
                                ),
                                name="blade_has_a_size",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Section",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("name", models.CharField(max_length=40, verbose_name="section")),
                        ("position", models.PositiveSmallIntegerField()),
                        (
                            "holds_blade",
                            models.BooleanField(
                                default=False, verbose_name="the blade's socket is in it"
                            ),
                        ),
                        (
                            "blade_screw",
                            models.CharField(
                                blank=True, max_length=40, verbose_name="retention screw"
                            ),
                        ),
                        ("note", models.CharField(blank=True, max_length=200, verbose_name="note")),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "hilt",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="sections",
                                to="builds.hilt",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["position", "id"],
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("ended_at", None)),
                                fields=("hilt", "position"),
                                name="section_in_order",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("ended_at", None), ("holds_blade", True)),
                                fields=("hilt",),
                                name="section_one_blade_socket",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Step",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("words", models.CharField(max_length=80, verbose_name="what comes off")),
                        ("how", models.CharField(blank=True, max_length=200, verbose_name="how")),
                        (
                            "for_owner",
                            models.BooleanField(default=True, verbose_name="the owner may do it"),
                        ),
                        (
                            "wants_heat",
                            models.BooleanField(default=False, verbose_name="wants heat"),
                        ),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "hilt",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="steps",
                                to="builds.hilt",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["id"],
                    },
                ),
                migrations.CreateModel(
                    name="CarrierRule",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("code", models.CharField(max_length=40, verbose_name="what it allows")),
                        ("words", models.TextField(verbose_name="the carrier's own words")),
                        (
                            "source",
                            models.CharField(max_length=200, verbose_name="who wrote it, where"),
                        ),
                        ("written_on", models.DateField(verbose_name="written on")),
                        (
                            "valid_until",
                            models.DateField(blank=True, null=True, verbose_name="valid until"),
                        ),
                        ("at", models.DateTimeField()),
                        ("withdrawn_at", models.DateTimeField(null=True)),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "service",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="rules",
                                to="builds.service",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["service", "code", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("code__in", ("damaged", "damaged-road")), _negated=True
                                    ),
                                    models.Q(("code__startswith", "missing-"), _negated=True),
                                ),
                                name="carrier_rule_never_of_a_damaged_cell",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("words", ""), _negated=True),
                                    models.Q(("source", ""), _negated=True),
                                    models.Q(("code", ""), _negated=True),
                                ),
                                name="carrier_rule_in_its_words",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Parcel",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("day", models.DateField(verbose_name="leaves on")),
                        ("closed_at", models.DateTimeField()),
                        (
                            "carrier",
                            models.CharField(blank=True, max_length=60, verbose_name="carrier"),
                        ),
                        (
                            "tracking",
                            models.CharField(
                                blank=True,
                                db_index=True,
                                max_length=60,
                                verbose_name="tracking number",
                            ),
                        ),
                        ("left_at", models.DateTimeField(null=True)),
                        ("opened_at", models.DateTimeField(null=True)),
                        (
                            "closed_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "left_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "box",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="parcels",
                                to="shop.part",
                            ),
                        ),
                        ("classed", models.JSONField(null=True)),
                        ("customs_minor", models.PositiveBigIntegerField(blank=True, null=True)),
                        (
                            "customs_words",
                            models.CharField(
                                blank=True,
                                max_length=200,
                                verbose_name="what it is, for the customs",
                            ),
                        ),
                        ("declared_minor", models.PositiveBigIntegerField(blank=True, null=True)),
                        (
                            "gross_g",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="weighed, closed"
                            ),
                        ),
                        (
                            "height_mm",
                            models.FloatField(blank=True, null=True, verbose_name="height"),
                        ),
                        (
                            "insured_by",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("carrier", "the carrier"),
                                    ("shop", "the shop’s own insurance"),
                                    ("customer", "the customer"),
                                    ("nobody", "nobody: told and agreed"),
                                ],
                                max_length=10,
                                verbose_name="who bears a loss",
                            ),
                        ),
                        (
                            "is_unused",
                            models.BooleanField(
                                default=False,
                                verbose_name="nothing in it was used or repaired before",
                            ),
                        ),
                        (
                            "length_mm",
                            models.FloatField(blank=True, null=True, verbose_name="length"),
                        ),
                        (
                            "origin",
                            models.CharField(
                                blank=True, max_length=2, verbose_name="country of origin"
                            ),
                        ),
                        ("sent_to", models.TextField(blank=True)),
                        (
                            "tariff_code",
                            models.CharField(blank=True, max_length=14, verbose_name="tariff code"),
                        ),
                        (
                            "width_mm",
                            models.FloatField(blank=True, null=True, verbose_name="width"),
                        ),
                        (
                            "service",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="parcels",
                                to="builds.service",
                            ),
                        ),
                    ],
                    options={
                        "indexes": [
                            models.Index(
                                condition=models.Q(("left_at", None), ("opened_at", None)),
                                fields=["day"],
                                name="parcel_to_leave",
                            )
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("left_at", None), ("opened_at", None), _connector="OR"
                                ),
                                name="parcel_opened_never_leaves",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("insured_by", ""),
                                    ("insured_by__in", ["carrier", "shop", "customer", "nobody"]),
                                    _connector="OR",
                                ),
                                name="parcel_insured_by_someone_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("length_mm", None), ("length_mm__gt", 0), _connector="OR"
                                    ),
                                    models.Q(
                                        ("width_mm", None), ("width_mm__gt", 0), _connector="OR"
                                    ),
                                    models.Q(
                                        ("height_mm", None), ("height_mm__gt", 0), _connector="OR"
                                    ),
                                ),
                                name="parcel_sides_above_zero",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Finding",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("stops", models.BooleanField(default=True)),
                        ("row", models.PositiveIntegerField()),
                        ("column", models.PositiveSmallIntegerField(null=True)),
                        ("field", models.CharField(blank=True, max_length=40)),
                        ("value", models.CharField(blank=True, max_length=120)),
                        ("sentence", models.CharField(max_length=400)),
                        (
                            "of",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="findings",
                                to="builds.import",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["row", "column", "id"],
                        "indexes": [
                            models.Index(fields=["of", "-stops", "row"], name="finding_in_turn")
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Made",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("row", models.PositiveIntegerField()),
                        (
                            "how",
                            models.CharField(
                                choices=[
                                    ("new", "new"),
                                    ("found", "found again"),
                                    ("changed", "changed"),
                                ],
                                max_length=8,
                            ),
                        ),
                        ("about", models.CharField(max_length=60)),
                        ("before", models.JSONField(default=dict)),
                        (
                            "of",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="made",
                                to="builds.import",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("how__in", ["new", "found", "changed"])),
                                name="made_how_known",
                            ),
                            models.UniqueConstraint(
                                fields=("of", "about"), name="made_once_an_import"
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="SoundFile",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("path", models.CharField(max_length=255)),
                        ("size", models.PositiveBigIntegerField()),
                        ("sort", models.CharField(blank=True, max_length=40)),
                        ("facts", models.JSONField(blank=True, default=dict)),
                        ("findings", models.JSONField(blank=True, default=list)),
                        ("looked_at", models.DateTimeField(null=True)),
                        (
                            "blob",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.blob",
                            ),
                        ),
                        (
                            "sound_set",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="files",
                                to="builds.soundset",
                            ),
                        ),
                        (
                            "made_from",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="builds.soundfile",
                            ),
                        ),
                        ("place", models.PositiveIntegerField(default=0)),
                        ("tries", models.PositiveSmallIntegerField(default=0)),
                    ],
                    options={
                        "ordering": ["sound_set", "path"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("sound_set", "path"), name="sound_file_once"
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Build",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("number", models.PositiveIntegerField(unique=True)),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("full", "full install"),
                                    ("upgrade", "upgrade or board swap"),
                                    ("repair", "repair"),
                                    ("warranty", "warranty"),
                                    ("blade", "blade only"),
                                ],
                                default="full",
                                max_length=10,
                                verbose_name="kind of job",
                            ),
                        ),
                        (
                            "leaves_by",
                            models.CharField(
                                choices=[
                                    ("post", "by post"),
                                    ("collection", "collected in person"),
                                ],
                                default="post",
                                max_length=10,
                                verbose_name="leaves",
                            ),
                        ),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("booked", "booked"),
                                    ("intake", "intake"),
                                    ("teardown", "teardown"),
                                    ("install", "install"),
                                    ("test", "test"),
                                    ("dispatch", "dispatch"),
                                    ("sent", "sent"),
                                    ("collected", "collected"),
                                    ("returned", "returned unfinished"),
                                    ("withdrawn", "withdrawn"),
                                    ("abandoned", "abandoned"),
                                ],
                                default="booked",
                                max_length=10,
                            ),
                        ),
                        ("state_since", models.DateTimeField()),
                        ("started_at", models.DateTimeField(null=True)),
                        ("note", models.TextField(blank=True, verbose_name="note")),
                        (
                            "item",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="build",
                                to="shop.item",
                            ),
                        ),
                        (
                            "started_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "hilt",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="builds",
                                to="builds.hilt",
                            ),
                        ),
                        (
                            "place",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="builds",
                                to="builds.place",
                            ),
                        ),
                        (
                            "tray",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="builds",
                                to="builds.tray",
                            ),
                        ),
                        (
                            "blade",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="builds",
                                to="builds.blade",
                            ),
                        ),
                    ],
                    options={
                        "indexes": [
                            models.Index(
                                condition=models.Q(
                                    (
                                        "state__in",
                                        (
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                        ),
                                    )
                                ),
                                fields=["state", "state_since"],
                                name="build_open",
                            ),
                            models.Index(fields=["hilt", "-number"], name="build_of_hilt"),
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "state__in",
                                        [
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                            "sent",
                                            "collected",
                                            "returned",
                                            "withdrawn",
                                            "abandoned",
                                        ],
                                    )
                                ),
                                name="build_state_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("kind__in", ["full", "upgrade", "repair", "warranty", "blade"])
                                ),
                                name="build_kind_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("leaves_by__in", ["post", "collection"])),
                                name="build_leaves",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(
                                    (
                                        "state__in",
                                        (
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                        ),
                                    )
                                ),
                                fields=("tray",),
                                name="tray_holds_one_open_build",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("tray", None),
                                    models.Q(
                                        (
                                            "state__in",
                                            (
                                                "sent",
                                                "collected",
                                                "returned",
                                                "withdrawn",
                                                "abandoned",
                                            ),
                                        ),
                                        _negated=True,
                                    ),
                                    _connector="OR",
                                ),
                                name="build_ending_frees_its_tray",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "state__in",
                                        [
                                            "booked",
                                            "intake",
                                            "sent",
                                            "collected",
                                            "returned",
                                            "withdrawn",
                                            "abandoned",
                                        ],
                                    ),
                                    ("tray__isnull", False),
                                    ("place__isnull", False),
                                    ("hilt", None),
                                    _connector="OR",
                                ),
                                name="build_past_intake_has_a_place",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("hilt__isnull", False), ("kind", "blade"), _connector="OR"
                                ),
                                name="build_has_a_hilt",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("hilt", None), ("kind", "blade"), ("tray", None)),
                                    ("hilt__isnull", False),
                                    _connector="OR",
                                ),
                                name="build_blade_only_has_no_tray",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("started_at", None), ("started_by", None)),
                                    models.Q(
                                        ("started_at__isnull", False), ("started_by__isnull", False)
                                    ),
                                    _connector="OR",
                                ),
                                name="build_started_by_someone",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Hole",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "what",
                            models.CharField(
                                choices=[
                                    ("switch", "switch"),
                                    ("port", "charge port"),
                                    ("light", "light"),
                                    ("screw", "screw"),
                                ],
                                max_length=10,
                                verbose_name="hole for",
                            ),
                        ),
                        ("note", models.CharField(blank=True, max_length=200, verbose_name="note")),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "section",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="holes",
                                to="builds.section",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["section__position", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("what__in", ["switch", "port", "light", "screw"])
                                ),
                                name="hole_what_known",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Joint",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("thread", "thread"),
                                    ("set-screw", "set screw"),
                                    ("press", "press fit"),
                                    ("glued", "glued"),
                                ],
                                max_length=10,
                                verbose_name="joint",
                            ),
                        ),
                        ("stuck", models.BooleanField(default=False, verbose_name="stuck")),
                        ("note", models.CharField(blank=True, max_length=200, verbose_name="note")),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "section",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="joints",
                                to="builds.section",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["section__position", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("kind__in", ["thread", "set-screw", "press", "glued"])
                                ),
                                name="joint_kind_known",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("ended_at", None)),
                                fields=("section",),
                                name="joint_one_behind_a_section",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="StepLink",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "first",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="frees",
                                to="builds.step",
                            ),
                        ),
                        (
                            "step",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="links",
                                to="builds.step",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("step", "first"), name="step_link_once"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("step", models.F("first")), _negated=True),
                                name="step_link_not_to_itself",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="PackedGoods",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("taken_out_at", models.DateTimeField(null=True)),
                        (
                            "item",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="packed_goods",
                                to="shop.item",
                            ),
                        ),
                        (
                            "parcel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="goods",
                                to="builds.parcel",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("taken_out_at", None)),
                                fields=("item",),
                                name="goods_in_one_parcel",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Belonging",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("what", models.CharField(max_length=80, verbose_name="what")),
                        (
                            "quantity",
                            models.PositiveSmallIntegerField(default=1, verbose_name="how many"),
                        ),
                        ("returned_at", models.DateTimeField(null=True)),
                        (
                            "kept_because",
                            models.CharField(
                                blank=True, max_length=120, verbose_name="not returned, told why"
                            ),
                        ),
                        (
                            "arrival",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="belongings",
                                to="builds.arrival",
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="belongings",
                                to="builds.build",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("quantity__gte", 1)),
                                name="belonging_at_least_one",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Booklet",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "type_size",
                            models.CharField(
                                choices=[("usual", "usual type"), ("large", "large type")],
                                default="usual",
                                max_length=6,
                                verbose_name="type",
                            ),
                        ),
                        ("data_sha256", models.CharField(max_length=64)),
                        ("made_at", models.DateTimeField()),
                        ("published_at", models.DateTimeField(null=True)),
                        (
                            "blob",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.blob",
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="booklets",
                                to="builds.build",
                            ),
                        ),
                        (
                            "made_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["build", "-made_at", "-id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("type_size__in", ["usual", "large"])),
                                name="booklet_type_known",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Brightness",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "percent",
                            models.PositiveSmallIntegerField(
                                default=100,
                                validators=[
                                    django.core.validators.MinValueValidator(5),
                                    django.core.validators.MaxValueValidator(100),
                                ],
                                verbose_name="brightness cap, %",
                            ),
                        ),
                        (
                            "build",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="brightness",
                                to="builds.build",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "brightness",
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("percent__gte", 5), ("percent__lte", 100)),
                                name="brightness_in_percent",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="CardKept",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("image", "image of the finished card"),
                                    ("settings", "the board’s settings file"),
                                    ("firmware", "firmware"),
                                    ("other", "something else"),
                                ],
                                max_length=8,
                                verbose_name="what",
                            ),
                        ),
                        ("name", models.CharField(blank=True, max_length=120, verbose_name="file")),
                        (
                            "version",
                            models.CharField(blank=True, max_length=60, verbose_name="version"),
                        ),
                        ("at", models.DateTimeField()),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "blob",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.blob",
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="card_kept",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["build", "kind", "-at"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("kind__in", ["image", "settings", "firmware", "other"])
                                ),
                                name="card_kept_kind_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("blob__isnull", False),
                                    models.Q(("version", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="card_kept_is_something",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="CardListing",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("entries", models.JSONField()),
                        ("total_bytes", models.PositiveBigIntegerField()),
                        ("made_at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="card_listings",
                                to="builds.build",
                            ),
                        ),
                        (
                            "made_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["build", "-made_at", "-id"],
                    },
                ),
                migrations.CreateModel(
                    name="CellCheck",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "result",
                            models.CharField(
                                choices=[
                                    ("none", "no cell inside"),
                                    ("good", "cell out, wrap whole"),
                                    ("rewrap", "cell out, needs a new wrap"),
                                    ("aside", "cell damaged, set aside"),
                                ],
                                max_length=10,
                                verbose_name="cell",
                            ),
                        ),
                        (
                            "millivolts",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="voltage"
                            ),
                        ),
                        ("note", models.CharField(blank=True, max_length=200, verbose_name="note")),
                        ("at", models.DateTimeField()),
                        (
                            "arrival",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="cell_checks",
                                to="builds.arrival",
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="cell_checks",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-at", "-id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("arrival__isnull", False),
                                    ("build__isnull", False),
                                    _connector="OR",
                                ),
                                name="cell_check_of_something",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("result__in", ["none", "good", "rewrap", "aside"])
                                ),
                                name="cell_check_result_known",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Decision",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("code", models.CharField(max_length=200)),
                        (
                            "words",
                            models.CharField(max_length=200, verbose_name="why it may be so"),
                        ),
                        ("at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="decisions",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "kit",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="decisions",
                                to="shop.kit",
                            ),
                        ),
                        ("figures", models.JSONField(default=dict)),
                    ],
                    options={
                        "ordering": ["-at", "-id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("build__isnull", False), ("kit", None)),
                                    models.Q(("build", None), ("kit__isnull", False)),
                                    _connector="OR",
                                ),
                                name="decision_for_a_build_or_a_kit",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("words", ""), _negated=True),
                                name="decision_says_why",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="DepthTried",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("depth_mm", models.FloatField()),
                        ("as_typed", models.CharField(max_length=40)),
                        ("at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="depths_tried",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-at", "-id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("depth_mm__gte", 0)),
                                name="depth_tried_not_negative",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Film",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("link", models.URLField(blank=True, verbose_name="link")),
                        ("seconds", models.FloatField(null=True)),
                        ("looked_at", models.DateTimeField(null=True)),
                        ("problem", models.CharField(blank=True, max_length=200)),
                        ("added_at", models.DateTimeField()),
                        ("published_at", models.DateTimeField(null=True)),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "added_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "blob",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.blob",
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="films",
                                to="builds.build",
                            ),
                        ),
                        (
                            "poster",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.blob",
                            ),
                        ),
                        (
                            "smaller",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.blob",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("ended_at", None)),
                                fields=("build",),
                                name="film_one_a_build",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("blob__isnull", False), ("link", "")),
                                    models.Q(("blob", None), models.Q(("link", ""), _negated=True)),
                                    _connector="OR",
                                ),
                                name="film_of_a_file_or_a_link",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Gesture",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "being",
                            models.CharField(
                                choices=[
                                    ("asleep", "asleep"),
                                    ("off", "off"),
                                    ("on", "on"),
                                    ("menu", "in a menu"),
                                    ("effect", "in an effect"),
                                    ("charging", "charging"),
                                    ("low", "battery low"),
                                    ("hung", "hung"),
                                ],
                                max_length=10,
                                verbose_name="when it is",
                            ),
                        ),
                        ("wanted", models.CharField(max_length=80, verbose_name="to get")),
                        ("do", models.CharField(max_length=160, verbose_name="do")),
                        ("see", models.CharField(blank=True, max_length=160, verbose_name="see")),
                        ("hear", models.CharField(blank=True, max_length=160, verbose_name="hear")),
                        (
                            "out",
                            models.CharField(
                                blank=True, max_length=160, verbose_name="get out again"
                            ),
                        ),
                        ("position", models.PositiveSmallIntegerField(default=0)),
                        ("tried_at", models.DateTimeField(null=True)),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="gestures",
                                to="builds.build",
                            ),
                        ),
                        (
                            "plan",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="in_builds",
                                to="builds.boardgesture",
                            ),
                        ),
                        (
                            "tried_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["build", "position", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "being__in",
                                        [
                                            "asleep",
                                            "off",
                                            "on",
                                            "menu",
                                            "effect",
                                            "charging",
                                            "low",
                                            "hung",
                                        ],
                                    )
                                ),
                                name="gesture_being_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("tried_at", None), ("tried_by", None)),
                                    models.Q(
                                        ("tried_at__isnull", False), ("tried_by__isnull", False)
                                    ),
                                    _connector="OR",
                                ),
                                name="gesture_tried_by_someone",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Hold",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "reason",
                            models.CharField(
                                choices=[
                                    ("parts", "parts ordered"),
                                    ("part_wrong", "part wrong or dead"),
                                    ("answer", "an answer"),
                                    ("item", "customer's item not here"),
                                    ("sounds", "customer's sound files"),
                                    ("deposit", "deposit"),
                                    ("balance", "balance"),
                                    ("shop", "the shop itself"),
                                    ("stuck", "stuck joint, consent to heat"),
                                    ("carrier", "the carrier"),
                                    ("warranty", "a warranty question"),
                                    ("other", "something else"),
                                ],
                                max_length=12,
                                verbose_name="reason",
                            ),
                        ),
                        (
                            "turn",
                            models.CharField(
                                choices=[
                                    ("shop", "our turn"),
                                    ("customer", "customer's turn"),
                                    ("supplier", "supplier's turn"),
                                    ("carrier", "carrier's turn"),
                                ],
                                max_length=10,
                                verbose_name="whose turn",
                            ),
                        ),
                        ("words", models.CharField(max_length=200, verbose_name="what for")),
                        (
                            "before",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("booked", "booked"),
                                    ("intake", "intake"),
                                    ("teardown", "teardown"),
                                    ("install", "install"),
                                    ("test", "test"),
                                    ("dispatch", "dispatch"),
                                    ("sent", "sent"),
                                    ("collected", "collected"),
                                    ("returned", "returned unfinished"),
                                    ("withdrawn", "withdrawn"),
                                    ("abandoned", "abandoned"),
                                ],
                                max_length=10,
                                verbose_name="stops",
                            ),
                        ),
                        ("chase_on", models.DateField(verbose_name="ask again on")),
                        ("since", models.DateTimeField()),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="holds",
                                to="builds.build",
                            ),
                        ),
                        (
                            "ended_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "put_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        ("asked", models.PositiveSmallIntegerField(default=0)),
                        (
                            "line",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="holds",
                                to="shop.purchaseline",
                            ),
                        ),
                        (
                            "quote",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="holds",
                                to="shop.quote",
                            ),
                        ),
                    ],
                    options={
                        "indexes": [
                            models.Index(
                                condition=models.Q(("ended_at", None)),
                                fields=["build"],
                                name="hold_open",
                            )
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("before", ""),
                                    (
                                        "before__in",
                                        (
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                        ),
                                    ),
                                    _connector="OR",
                                ),
                                name="hold_before_a_stage",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("ended_at", None),
                                    ("ended_at__gte", models.F("since")),
                                    _connector="OR",
                                ),
                                name="hold_ends_after_it_began",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "reason__in",
                                        [
                                            "parts",
                                            "part_wrong",
                                            "answer",
                                            "item",
                                            "sounds",
                                            "deposit",
                                            "balance",
                                            "shop",
                                            "stuck",
                                            "carrier",
                                            "warranty",
                                            "other",
                                        ],
                                    )
                                ),
                                name="hold_reason_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("turn__in", ["shop", "customer", "supplier", "carrier"])
                                ),
                                name="hold_turn_known",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Match",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("at", models.DateTimeField()),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "arrival",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="matches",
                                to="builds.arrival",
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="matches",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("ended_at", None)),
                                fields=("arrival", "build"),
                                name="match_once",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Move",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "from_state",
                            models.CharField(
                                choices=[
                                    ("booked", "booked"),
                                    ("intake", "intake"),
                                    ("teardown", "teardown"),
                                    ("install", "install"),
                                    ("test", "test"),
                                    ("dispatch", "dispatch"),
                                    ("sent", "sent"),
                                    ("collected", "collected"),
                                    ("returned", "returned unfinished"),
                                    ("withdrawn", "withdrawn"),
                                    ("abandoned", "abandoned"),
                                ],
                                max_length=10,
                            ),
                        ),
                        (
                            "to_state",
                            models.CharField(
                                choices=[
                                    ("booked", "booked"),
                                    ("intake", "intake"),
                                    ("teardown", "teardown"),
                                    ("install", "install"),
                                    ("test", "test"),
                                    ("dispatch", "dispatch"),
                                    ("sent", "sent"),
                                    ("collected", "collected"),
                                    ("returned", "returned unfinished"),
                                    ("withdrawn", "withdrawn"),
                                    ("abandoned", "abandoned"),
                                ],
                                max_length=10,
                            ),
                        ),
                        ("at", models.DateTimeField()),
                        ("reason", models.TextField(blank=True)),
                        (
                            "caused_in",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("booked", "booked"),
                                    ("intake", "intake"),
                                    ("teardown", "teardown"),
                                    ("install", "install"),
                                    ("test", "test"),
                                    ("dispatch", "dispatch"),
                                    ("sent", "sent"),
                                    ("collected", "collected"),
                                    ("returned", "returned unfinished"),
                                    ("withdrawn", "withdrawn"),
                                    ("abandoned", "abandoned"),
                                ],
                                max_length=10,
                            ),
                        ),
                        ("was_started_at", models.DateTimeField(null=True)),
                        ("was_since", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="moves",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "undoes",
                            models.OneToOneField(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="undone_by",
                                to="builds.move",
                            ),
                        ),
                        (
                            "was_started_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "was_in_tray",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="builds.tray",
                            ),
                        ),
                    ],
                    options={
                        "indexes": [
                            models.Index(fields=["build", "-at"], name="move_of_build"),
                            models.Index(fields=["-at"], name="move_latest"),
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("from_state", models.F("to_state")), _negated=True
                                ),
                                name="move_goes_somewhere",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "from_state__in",
                                        (
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                        ),
                                    ),
                                    ("undoes__isnull", False),
                                    _connector="OR",
                                ),
                                name="move_never_from_an_ending",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "from_state__in",
                                        [
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                            "sent",
                                            "collected",
                                            "returned",
                                            "withdrawn",
                                            "abandoned",
                                        ],
                                    ),
                                    (
                                        "to_state__in",
                                        [
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                            "sent",
                                            "collected",
                                            "returned",
                                            "withdrawn",
                                            "abandoned",
                                        ],
                                    ),
                                ),
                                name="move_between_known_states",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("caused_in", ""),
                                    (
                                        "caused_in__in",
                                        (
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                        ),
                                    ),
                                    _connector="OR",
                                ),
                                name="move_caused_in_a_stage",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Packed",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("taken_out_at", models.DateTimeField(null=True)),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="packed",
                                to="builds.build",
                            ),
                        ),
                        (
                            "parcel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="packed",
                                to="builds.parcel",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("taken_out_at", None)),
                                fields=("build",),
                                name="build_in_one_parcel",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="PackTick",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("code", models.CharField(max_length=30)),
                        ("at", models.DateTimeField()),
                        ("taken_back_at", models.DateTimeField(null=True)),
                        (
                            "build",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "parcel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="ticks",
                                to="builds.parcel",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("build", None), ("taken_back_at", None)),
                                fields=("parcel", "code"),
                                name="pack_tick_once_a_parcel",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(
                                    ("build__isnull", False), ("taken_back_at", None)
                                ),
                                fields=("parcel", "code", "build"),
                                name="pack_tick_once_a_build",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Pass",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "stage",
                            models.CharField(
                                choices=[
                                    ("booked", "booked"),
                                    ("intake", "intake"),
                                    ("teardown", "teardown"),
                                    ("install", "install"),
                                    ("test", "test"),
                                    ("dispatch", "dispatch"),
                                    ("sent", "sent"),
                                    ("collected", "collected"),
                                    ("returned", "returned unfinished"),
                                    ("withdrawn", "withdrawn"),
                                    ("abandoned", "abandoned"),
                                ],
                                max_length=10,
                            ),
                        ),
                        ("code", models.CharField(max_length=30)),
                        ("reason", models.TextField()),
                        ("at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="passes",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        ("stay_since", models.DateTimeField()),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("reason", ""), _negated=True),
                                name="pass_has_a_reason",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "stage__in",
                                        (
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                        ),
                                    )
                                ),
                                name="pass_in_a_stage",
                            ),
                            models.UniqueConstraint(
                                fields=("build", "stage", "code", "stay_since"),
                                name="pass_once_a_stay",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("at__gte", models.F("stay_since"))),
                                name="pass_within_its_stay",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Photo",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "stage",
                            models.CharField(
                                choices=[
                                    ("booked", "booked"),
                                    ("intake", "intake"),
                                    ("teardown", "teardown"),
                                    ("install", "install"),
                                    ("test", "test"),
                                    ("dispatch", "dispatch"),
                                    ("sent", "sent"),
                                    ("collected", "collected"),
                                    ("returned", "returned unfinished"),
                                    ("withdrawn", "withdrawn"),
                                    ("abandoned", "abandoned"),
                                ],
                                max_length=10,
                            ),
                        ),
                        (
                            "caption",
                            models.CharField(blank=True, max_length=120, verbose_name="caption"),
                        ),
                        (
                            "shared",
                            models.BooleanField(default=False, verbose_name="customer may see it"),
                        ),
                        ("taken_at", models.DateTimeField()),
                        (
                            "arrival",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos",
                                to="builds.arrival",
                            ),
                        ),
                        (
                            "blob",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos",
                                to="shop.blob",
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos",
                                to="builds.build",
                            ),
                        ),
                        (
                            "came_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="builds.arrival",
                            ),
                        ),
                        (
                            "taken_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "view",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos",
                                to="builds.view",
                            ),
                        ),
                        (
                            "only",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="builds.build",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["taken_at", "id"],
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("arrival__isnull", False)),
                                fields=("arrival", "blob"),
                                name="photo_once_an_arrival",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("build__isnull", False)),
                                fields=("build", "blob"),
                                name="photo_once_a_build",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("arrival", None), ("build__isnull", False)),
                                    models.Q(("arrival__isnull", False), ("build", None)),
                                    _connector="OR",
                                ),
                                name="photo_of_one_thing",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("only", None), ("arrival__isnull", False), _connector="OR"
                                ),
                                name="photo_only_of_a_parcel",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "stage__in",
                                        [
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                            "sent",
                                            "collected",
                                            "returned",
                                            "withdrawn",
                                            "abandoned",
                                        ],
                                    )
                                ),
                                name="photo_stage_known",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Plan",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "chassis",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("removable", "removable"),
                                    ("fixed", "fixed"),
                                    ("none", "none"),
                                ],
                                max_length=10,
                                verbose_name="chassis",
                            ),
                        ),
                        ("fit", models.JSONField(null=True)),
                        ("power", models.JSONField(null=True)),
                        ("frozen_at", models.DateTimeField(null=True)),
                        (
                            "build",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="plan",
                                to="builds.build",
                            ),
                        ),
                        (
                            "kit",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="plans",
                                to="shop.kit",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("chassis", ""),
                                    ("chassis__in", ["removable", "fixed", "none"]),
                                    _connector="OR",
                                ),
                                name="plan_chassis_known",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Promise",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("day", models.DateField()),
                        ("reason", models.CharField(blank=True, max_length=200)),
                        ("at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="promises",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "indexes": [
                            models.Index(fields=["build", "-at", "-id"], name="promise_latest")
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Return",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("number", models.PositiveIntegerField(unique=True)),
                        ("announced_at", models.DateTimeField()),
                        (
                            "words",
                            models.TextField(verbose_name="what is wrong, in the customer’s words"),
                        ),
                        (
                            "covered",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("covered", "covered"),
                                    ("not-covered", "not covered"),
                                    ("goodwill", "goodwill"),
                                ],
                                max_length=12,
                                verbose_name="warranty",
                            ),
                        ),
                        (
                            "because",
                            models.CharField(blank=True, max_length=200, verbose_name="because"),
                        ),
                        (
                            "pays",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("shop", "the shop"),
                                    ("customer", "the customer"),
                                    ("both", "each one way"),
                                ],
                                max_length=10,
                                verbose_name="carriage",
                            ),
                        ),
                        ("decided_at", models.DateTimeField(null=True)),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "became",
                            models.OneToOneField(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="came_from",
                                to="builds.build",
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="returns",
                                to="builds.build",
                            ),
                        ),
                        (
                            "noted_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-announced_at"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("covered", ""),
                                        ("covered__in", ["covered", "not-covered", "goodwill"]),
                                        _connector="OR",
                                    ),
                                    models.Q(
                                        ("pays", ""),
                                        ("pays__in", ["shop", "customer", "both"]),
                                        _connector="OR",
                                    ),
                                ),
                                name="return_words_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("covered", ""), ("decided_at", None)),
                                    models.Q(
                                        models.Q(("covered", ""), _negated=True),
                                        ("decided_at__isnull", False),
                                    ),
                                    _connector="OR",
                                ),
                                name="return_decided_at_a_time",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Run",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("number", models.PositiveSmallIntegerField()),
                        (
                            "sheet",
                            models.CharField(
                                choices=[
                                    ("full", "full sheet"),
                                    ("short", "short sheet, for a repair"),
                                    ("blade", "blade’s own sheet"),
                                ],
                                max_length=6,
                            ),
                        ),
                        ("begun_at", models.DateTimeField()),
                        (
                            "begun_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="runs",
                                to="builds.build",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["build", "-number"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("build", "number"), name="run_number_once"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("sheet__in", ["full", "short", "blade"])),
                                name="run_sheet_known",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="ShotTick",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("code", models.CharField(max_length=60)),
                        ("at", models.DateTimeField()),
                        ("taken_back_at", models.DateTimeField(null=True)),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="shots",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("taken_back_at", None)),
                                fields=("build", "code"),
                                name="shot_ticked_once",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Slot",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "place",
                            models.PositiveSmallIntegerField(verbose_name="place on the card"),
                        ),
                        ("name", models.CharField(max_length=60, verbose_name="name")),
                        (
                            "colour",
                            models.CharField(
                                max_length=7,
                                validators=[
                                    django.core.validators.RegexValidator(
                                        "^#[0-9a-f]{6}$", "A colour looks like #1b4c99."
                                    )
                                ],
                                verbose_name="colour",
                            ),
                        ),
                        (
                            "look",
                            models.CharField(
                                choices=[
                                    ("steady", "steady"),
                                    ("pulsing", "pulsing"),
                                    ("flickering", "flickering"),
                                    ("running", "running along the blade"),
                                ],
                                default="steady",
                                max_length=12,
                                verbose_name="look",
                            ),
                        ),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="slots",
                                to="builds.build",
                            ),
                        ),
                        (
                            "music",
                            models.CharField(blank=True, max_length=120, verbose_name="music"),
                        ),
                        ("verified_at", models.DateTimeField(null=True)),
                        (
                            "verified_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "sound_set",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="slots",
                                to="builds.soundset",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["place", "id"],
                        "constraints": [
                            models.UniqueConstraint(
                                condition=models.Q(("ended_at", None)),
                                fields=("build", "place"),
                                name="slot_one_a_place",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("look__in", ["steady", "pulsing", "flickering", "running"])
                                ),
                                name="slot_look_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("verified_at", None), ("verified_by", None)),
                                    models.Q(
                                        ("verified_at__isnull", False),
                                        ("verified_by__isnull", False),
                                    ),
                                    _connector="OR",
                                ),
                                name="slot_verified_by_someone",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="StepDone",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("is_off", models.BooleanField()),
                        ("at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="steps_done",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "step",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="done",
                                to="builds.step",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-at", "-id"],
                        "indexes": [
                            models.Index(fields=["build", "step", "-at"], name="step_done_latest")
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="TakenOut",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "what",
                            models.CharField(
                                choices=[("cell", "cell"), ("electronics", "electronics")],
                                max_length=12,
                            ),
                        ),
                        ("is_out", models.BooleanField()),
                        ("at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="taken_out",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-at", "-id"],
                        "indexes": [
                            models.Index(fields=["build", "what", "-at"], name="taken_out_latest")
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("what__in", ["cell", "electronics"])),
                                name="taken_out_known",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Timer",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "what",
                            models.CharField(
                                choices=[("burn-in", "burn-in"), ("rest", "rest")], max_length=8
                            ),
                        ),
                        ("minutes", models.PositiveIntegerField()),
                        ("millivolts_before", models.PositiveIntegerField(blank=True, null=True)),
                        ("begun_at", models.DateTimeField()),
                        ("stopped_at", models.DateTimeField(null=True)),
                        ("told_at", models.DateTimeField(null=True)),
                        (
                            "begun_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="timers",
                                to="builds.build",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-begun_at"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("minutes__gte", 1), ("what__in", ["burn-in", "rest"])
                                ),
                                name="timer_of_some_time",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("stopped_at", None)),
                                fields=("build", "what"),
                                name="timer_one_of_a_kind",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="WireRun",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("starts", models.CharField(max_length=60, verbose_name="from")),
                        ("ends", models.CharField(max_length=60, verbose_name="to")),
                        (
                            "carries",
                            models.CharField(
                                choices=[
                                    ("all", "everything"),
                                    ("blade", "the blade"),
                                    ("accents", "accents"),
                                    ("speaker", "the speaker"),
                                    ("charge", "charging"),
                                    ("signal", "signals only"),
                                ],
                                max_length=10,
                                verbose_name="carries",
                            ),
                        ),
                        ("gauge", models.SmallIntegerField(verbose_name="gauge, AWG")),
                        ("length_mm", models.PositiveIntegerField(verbose_name="one way, mm")),
                        (
                            "spare_mm",
                            models.PositiveIntegerField(
                                default=20, verbose_name="added for stripping, mm"
                            ),
                        ),
                        (
                            "parallel",
                            models.PositiveSmallIntegerField(
                                default=1, verbose_name="side by side"
                            ),
                        ),
                        (
                            "colour",
                            models.CharField(
                                blank=True, max_length=30, verbose_name="wire's colour"
                            ),
                        ),
                        ("cut_at", models.DateTimeField(null=True)),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="wires",
                                to="builds.build",
                            ),
                        ),
                        (
                            "part",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="wires",
                                to="shop.part",
                            ),
                        ),
                        ("is_guess", models.BooleanField(default=False)),
                    ],
                    options={
                        "ordering": ["id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "carries__in",
                                        ["all", "blade", "accents", "speaker", "charge", "signal"],
                                    )
                                ),
                                name="wire_carries",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("gauge__gte", -3), ("gauge__lte", 40)),
                                name="wire_gauge_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("parallel__gte", 1)), name="wire_at_least_one"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("length_mm__gte", 1)),
                                name="wire_of_some_length",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Attempt",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "means",
                            models.CharField(
                                choices=[
                                    ("hands", "by hand, strap or jaws"),
                                    ("heat", "heat"),
                                    ("solvent", "solvent"),
                                    ("drill", "drilled or turned"),
                                    ("other", "something else"),
                                ],
                                max_length=10,
                                verbose_name="tried",
                            ),
                        ),
                        ("minutes", models.PositiveSmallIntegerField(verbose_name="minutes")),
                        (
                            "celsius",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="how hot, °C"
                            ),
                        ),
                        (
                            "came",
                            models.CharField(
                                choices=[
                                    ("loose", "came loose"),
                                    ("holds", "holds still"),
                                    ("stopped", "stopped: the limit is reached"),
                                ],
                                max_length=10,
                                verbose_name="how it ended",
                            ),
                        ),
                        (
                            "words",
                            models.CharField(blank=True, max_length=200, verbose_name="in words"),
                        ),
                        ("at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="attempts",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "joint",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="attempts",
                                to="builds.joint",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["at", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("means__in", ["hands", "heat", "solvent", "drill", "other"])
                                ),
                                name="attempt_means_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("came__in", ["loose", "holds", "stopped"])),
                                name="attempt_came_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("celsius", None), ("means", "heat"), _connector="OR"
                                ),
                                name="attempt_heat_has_degrees",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("minutes__gte", 1), ("minutes__lte", 600)),
                                name="attempt_takes_minutes",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Measurement",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "quantity",
                            models.CharField(
                                choices=[
                                    ("length", "length"),
                                    ("bore", "bore"),
                                    ("outer", "outside diameter"),
                                    ("socket-bore", "socket's bore"),
                                    ("socket-depth", "socket's depth"),
                                    ("pitch", "thread's pitch"),
                                    ("clock", "clock position when tight"),
                                    ("diameter", "diameter"),
                                    ("from-front", "from the section's front edge"),
                                    ("around", "where around"),
                                ],
                                max_length=14,
                            ),
                        ),
                        ("value", models.FloatField()),
                        ("second", models.FloatField(null=True)),
                        ("tolerance", models.FloatField(null=True)),
                        ("as_typed", models.CharField(max_length=40)),
                        (
                            "basis",
                            models.CharField(
                                choices=[
                                    ("told", "told"),
                                    ("believed", "believed, from a like hilt"),
                                    ("measured", "measured"),
                                ],
                                max_length=10,
                            ),
                        ),
                        ("token", models.UUIDField(null=True, unique=True)),
                        ("at", models.DateTimeField()),
                        (
                            "believed_from",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="lent_measurements",
                                to="builds.hilt",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "hilt",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="measurements",
                                to="builds.hilt",
                            ),
                        ),
                        (
                            "hole",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="measurements",
                                to="builds.hole",
                            ),
                        ),
                        (
                            "joint",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="measurements",
                                to="builds.joint",
                            ),
                        ),
                        (
                            "section",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="measurements",
                                to="builds.section",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["at", "id"],
                        "indexes": [
                            models.Index(fields=["hilt", "quantity"], name="measurement_of_hilt")
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("hole", None), ("joint", None), ("section__isnull", False)
                                    ),
                                    models.Q(
                                        ("hole", None), ("joint__isnull", False), ("section", None)
                                    ),
                                    models.Q(
                                        ("hole__isnull", False), ("joint", None), ("section", None)
                                    ),
                                    _connector="OR",
                                ),
                                name="measurement_of_one_thing",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "quantity__in",
                                        [
                                            "length",
                                            "bore",
                                            "outer",
                                            "socket-bore",
                                            "socket-depth",
                                            "pitch",
                                            "clock",
                                            "diameter",
                                            "from-front",
                                            "around",
                                        ],
                                    )
                                ),
                                name="measurement_quantity_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("basis__in", ["told", "believed", "measured"])),
                                name="measurement_basis_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("believed_from", None), ("basis", "believed"), _connector="OR"
                                ),
                                name="measurement_believed_from_another",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("value__gte", 0),
                                    ("value__lte", 2000),
                                    models.Q(
                                        ("second", None),
                                        models.Q(("second__gt", 0), ("second__lte", 2000)),
                                        _connector="OR",
                                    ),
                                    models.Q(
                                        ("tolerance", None),
                                        models.Q(("tolerance__gte", 0), ("tolerance__lte", 2000)),
                                        _connector="OR",
                                    ),
                                ),
                                name="measurement_of_a_hilt",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Stowed",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        (
                            "stowage",
                            models.CharField(
                                choices=[
                                    ("installed", "in the hilt"),
                                    ("packed-with", "beside the hilt, in the same parcel"),
                                    ("loose", "without the hilt that it runs"),
                                    ("left-out", "leaves without a cell"),
                                ],
                                max_length=12,
                                verbose_name="cell",
                            ),
                        ),
                        (
                            "terminals",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("holder", "in its holder, isolated by switch or key"),
                                    ("caps", "caps on both ends"),
                                    ("tape", "both ends taped"),
                                    ("case", "in a case of its own"),
                                ],
                                max_length=10,
                                verbose_name="its ends",
                            ),
                        ),
                        (
                            "charge_percent",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="charge"
                            ),
                        ),
                        (
                            "chemistry",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("ion", "lithium ion (rechargeable)"),
                                    ("metal", "lithium metal (not rechargeable)"),
                                    ("none", "no lithium"),
                                ],
                                max_length=6,
                                verbose_name="chemistry",
                            ),
                        ),
                        (
                            "unit",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("cell", "single cell"),
                                    ("battery", "pack of joined cells"),
                                    ("button", "button cell"),
                                ],
                                max_length=8,
                                verbose_name="counts as",
                            ),
                        ),
                        (
                            "count",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="how many"
                            ),
                        ),
                        (
                            "needed",
                            models.PositiveSmallIntegerField(
                                blank=True, null=True, verbose_name="how many it runs on"
                            ),
                        ),
                        (
                            "watt_hours",
                            models.FloatField(
                                blank=True, null=True, verbose_name="watt-hours of each"
                            ),
                        ),
                        (
                            "lithium_g",
                            models.FloatField(
                                blank=True, null=True, verbose_name="grams of lithium in each"
                            ),
                        ),
                        (
                            "test_summary",
                            models.BooleanField(
                                blank=True, null=True, verbose_name="UN 38.3 test summary on file"
                            ),
                        ),
                        ("at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "goods",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="builds.packedgoods",
                            ),
                        ),
                        (
                            "parcel",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="stowed",
                                to="builds.parcel",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "stowed",
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("build__isnull", False), ("goods", None)),
                                    models.Q(("build", None), ("goods__isnull", False)),
                                    _connector="OR",
                                ),
                                name="stowed_of_one_thing",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "stowage__in",
                                        ["installed", "packed-with", "loose", "left-out"],
                                    ),
                                    models.Q(
                                        ("terminals", ""),
                                        ("terminals__in", ["holder", "caps", "tape", "case"]),
                                        _connector="OR",
                                    ),
                                    models.Q(
                                        ("chemistry", ""),
                                        ("chemistry__in", ["ion", "metal", "none"]),
                                        _connector="OR",
                                    ),
                                    models.Q(
                                        ("unit", ""),
                                        ("unit__in", ["cell", "battery", "button"]),
                                        _connector="OR",
                                    ),
                                ),
                                name="stowed_words_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("charge_percent", None),
                                        ("charge_percent__lte", 100),
                                        _connector="OR",
                                    ),
                                    models.Q(("count", None), ("count__gte", 1), _connector="OR"),
                                    models.Q(("needed", None), ("needed__gte", 1), _connector="OR"),
                                    models.Q(
                                        ("watt_hours", None), ("watt_hours__gt", 0), _connector="OR"
                                    ),
                                    models.Q(
                                        ("lithium_g", None), ("lithium_g__gt", 0), _connector="OR"
                                    ),
                                ),
                                name="stowed_figures_possible",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("build__isnull", False)),
                                fields=("parcel", "build"),
                                name="stowed_once_a_build",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("goods__isnull", False)),
                                fields=("goods",),
                                name="stowed_once_a_good",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="BuildPart",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("cell", "cell"),
                                    ("board", "sound board"),
                                    ("speaker", "speaker"),
                                    ("strip", "strip"),
                                    ("led", "single LED"),
                                    ("switch", "switch"),
                                    ("accent", "accent"),
                                    ("blade", "blade"),
                                    ("protection", "fuse or protection"),
                                    ("connector", "connector"),
                                    ("port", "charge port"),
                                    ("wire", "wire"),
                                    ("screw", "retention screw"),
                                    ("chassis", "chassis"),
                                    ("box", "box"),
                                    ("other", "other"),
                                ],
                                max_length=12,
                                verbose_name="kind",
                            ),
                        ),
                        ("spec", models.JSONField(blank=True, default=dict)),
                        (
                            "quantity",
                            models.PositiveIntegerField(default=1, verbose_name="how many"),
                        ),
                        ("position", models.PositiveSmallIntegerField(default=0)),
                        (
                            "serial",
                            models.CharField(
                                blank=True, max_length=60, verbose_name="serial number"
                            ),
                        ),
                        ("planned_at", models.DateTimeField()),
                        ("fitted_at", models.DateTimeField(null=True)),
                        ("ended_at", models.DateTimeField(null=True)),
                        ("ended_because", models.CharField(blank=True, max_length=200)),
                        (
                            "belonging",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="in_builds",
                                to="builds.belonging",
                            ),
                        ),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="parts",
                                to="builds.build",
                            ),
                        ),
                        (
                            "fitted_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "lies_on",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="carries",
                                to="builds.buildpart",
                            ),
                        ),
                        (
                            "part",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="in_builds",
                                to="shop.part",
                            ),
                        ),
                        (
                            "planned_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "reservation",
                            models.OneToOneField(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="build_part",
                                to="shop.reservation",
                            ),
                        ),
                        (
                            "section",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="parts",
                                to="builds.section",
                            ),
                        ),
                        (
                            "serial_folded",
                            models.CharField(
                                blank=True, db_index=True, editable=False, max_length=60
                            ),
                        ),
                        ("starts_mm", models.FloatField(blank=True, null=True)),
                    ],
                    options={
                        "ordering": ["position", "id"],
                        "indexes": [
                            models.Index(
                                condition=models.Q(("ended_at", None)),
                                fields=["build"],
                                name="build_part_there",
                            )
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("belonging", None), ("part__isnull", False)),
                                    models.Q(("belonging__isnull", False), ("part", None)),
                                    _connector="OR",
                                ),
                                name="build_part_of_one_owner",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("quantity__gte", 1)), name="build_part_of_some"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("reservation", None), ("part__isnull", False), _connector="OR"
                                ),
                                name="build_part_reserves_from_stores",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("fitted_at", None), ("fitted_by", None)),
                                    models.Q(
                                        ("fitted_at__isnull", False), ("fitted_by__isnull", False)
                                    ),
                                    _connector="OR",
                                ),
                                name="build_part_fitted_by_someone",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(
                                    ("belonging__isnull", False), ("ended_at", None)
                                ),
                                fields=("belonging",),
                                name="build_part_belonging_once",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("starts_mm", None), ("starts_mm__gte", 0), _connector="OR"
                                ),
                                name="build_part_starts_in_its_section",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "kind__in",
                                        [
                                            "cell",
                                            "board",
                                            "speaker",
                                            "strip",
                                            "led",
                                            "switch",
                                            "accent",
                                            "blade",
                                            "protection",
                                            "connector",
                                            "port",
                                            "wire",
                                            "screw",
                                            "chassis",
                                            "box",
                                            "other",
                                        ],
                                    )
                                ),
                                name="build_part_kind_known",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="CardCheck",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("same", models.PositiveIntegerField()),
                        ("missing", models.JSONField(default=list)),
                        ("changed", models.JSONField(default=list)),
                        ("extra", models.JSONField(default=list)),
                        ("at", models.DateTimeField()),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "listing",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="checks",
                                to="builds.cardlisting",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["listing", "-at", "-id"],
                    },
                ),
                migrations.CreateModel(
                    name="Chapter",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("begins_ms", models.PositiveIntegerField()),
                        ("title", models.CharField(max_length=120, verbose_name="chapter")),
                        ("shot", models.CharField(blank=True, max_length=60)),
                        (
                            "film",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="chapters",
                                to="builds.film",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["film", "begins_ms", "id"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("film", "begins_ms"), name="chapter_once_a_moment"
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="ConditionNote",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("section", models.CharField(max_length=60, verbose_name="section")),
                        (
                            "grade",
                            models.CharField(
                                choices=[
                                    ("sound", "sound"),
                                    ("worn", "worn"),
                                    ("marked", "marked"),
                                    ("damaged", "damaged"),
                                ],
                                max_length=10,
                                verbose_name="grade",
                            ),
                        ),
                        ("words", models.CharField(max_length=300, verbose_name="in words")),
                        ("at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="condition_notes",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "came_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="builds.arrival",
                            ),
                        ),
                        (
                            "photo",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.SET_NULL,
                                related_name="+",
                                to="builds.photo",
                            ),
                        ),
                        ("mark_x", models.FloatField(null=True)),
                        ("mark_y", models.FloatField(null=True)),
                    ],
                    options={
                        "ordering": ["at", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("mark_x", None), ("mark_y", None)),
                                    models.Q(
                                        ("mark_x__gte", 0),
                                        ("mark_x__isnull", False),
                                        ("mark_x__lte", 1),
                                        ("mark_y__gte", 0),
                                        ("mark_y__isnull", False),
                                        ("mark_y__lte", 1),
                                    ),
                                    _connector="OR",
                                ),
                                name="condition_mark_on_its_photo",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("grade__in", ["sound", "worn", "marked", "damaged"])
                                ),
                                name="condition_grade_known",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="RunLine",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("code", models.SlugField(max_length=30)),
                        ("position", models.PositiveSmallIntegerField(default=0)),
                        ("name", models.CharField(max_length=80)),
                        ("how", models.CharField(blank=True, max_length=200)),
                        ("caution", models.CharField(blank=True, max_length=200)),
                        (
                            "read",
                            models.CharField(
                                choices=[
                                    ("figure", "a reading with a unit"),
                                    ("eye", "seen or heard: right or not"),
                                    ("count", "so many of so many"),
                                    ("timed", "runs for a time"),
                                ],
                                max_length=8,
                            ),
                        ),
                        ("unit", models.CharField(blank=True, max_length=10)),
                        ("low", models.FloatField(null=True)),
                        ("high", models.FloatField(null=True)),
                        ("high_told", models.FloatField(null=True)),
                        ("times", models.PositiveSmallIntegerField(null=True)),
                        ("minutes", models.PositiveIntegerField(null=True)),
                        (
                            "mark",
                            models.CharField(
                                choices=[
                                    ("published", "published, the source’s name was not kept"),
                                    ("common", "common practice, no source"),
                                    ("reasoned", "follows from other figures"),
                                    ("memory", "from memory, unchecked"),
                                    ("reckoned", "reckoned from this build’s own figures"),
                                    ("shop", "the shop’s own"),
                                ],
                                max_length=10,
                            ),
                        ),
                        ("because", models.CharField(blank=True, max_length=300)),
                        ("only_after", models.SlugField(blank=True, max_length=30)),
                        ("never_pass", models.BooleanField(default=False)),
                        (
                            "run",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="lines",
                                to="builds.run",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["run", "position", "id"],
                        "constraints": [
                            models.UniqueConstraint(fields=("run", "code"), name="run_line_once")
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="LineLetBy",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("reason", models.CharField(max_length=200, verbose_name="why")),
                        ("at", models.DateTimeField()),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "line",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="let_by",
                                to="builds.runline",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("reason", ""), _negated=True),
                                name="line_let_by_says_why",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Reading",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        ("value", models.FloatField(null=True)),
                        ("as_typed", models.CharField(blank=True, max_length=30)),
                        (
                            "verdict",
                            models.CharField(
                                choices=[
                                    ("pass", "passed"),
                                    ("tell", "passed: tell the customer"),
                                    ("fail", "failed"),
                                ],
                                max_length=4,
                            ),
                        ),
                        ("note", models.CharField(blank=True, max_length=200)),
                        ("at", models.DateTimeField()),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "instrument",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="readings",
                                to="builds.instrument",
                            ),
                        ),
                        (
                            "line",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="readings",
                                to="builds.runline",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["line", "-at", "-id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("verdict__in", ["pass", "tell", "fail"])),
                                name="reading_verdict_known",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Rework",
                    fields=[
                        (
                            "id",
                            models.BigAutoField(
                                auto_created=True,
                                primary_key=True,
                                serialize=False,
                                verbose_name="ID",
                            ),
                        ),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "found_in",
                            models.CharField(
                                choices=[
                                    ("booked", "booked"),
                                    ("intake", "intake"),
                                    ("teardown", "teardown"),
                                    ("install", "install"),
                                    ("test", "test"),
                                    ("dispatch", "dispatch"),
                                    ("sent", "sent"),
                                    ("collected", "collected"),
                                    ("returned", "returned unfinished"),
                                    ("withdrawn", "withdrawn"),
                                    ("abandoned", "abandoned"),
                                ],
                                max_length=10,
                                verbose_name="found in",
                            ),
                        ),
                        (
                            "caused_in",
                            models.CharField(
                                choices=[
                                    ("booked", "booked"),
                                    ("intake", "intake"),
                                    ("teardown", "teardown"),
                                    ("install", "install"),
                                    ("test", "test"),
                                    ("dispatch", "dispatch"),
                                    ("sent", "sent"),
                                    ("collected", "collected"),
                                    ("returned", "returned unfinished"),
                                    ("withdrawn", "withdrawn"),
                                    ("abandoned", "abandoned"),
                                ],
                                max_length=10,
                                verbose_name="caused in",
                            ),
                        ),
                        ("cause", models.CharField(max_length=200, verbose_name="cause")),
                        ("minutes", models.PositiveIntegerField(default=0, verbose_name="minutes")),
                        ("at", models.DateTimeField()),
                        (
                            "build",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="reworks",
                                to="builds.build",
                            ),
                        ),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "failed",
                            models.OneToOneField(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="put_right",
                                to="builds.reading",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-at", "-id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "caused_in__in",
                                        [
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                            "sent",
                                            "collected",
                                            "returned",
                                            "withdrawn",
                                            "abandoned",
                                        ],
                                    ),
                                    (
                                        "found_in__in",
                                        [
                                            "booked",
                                            "intake",
                                            "teardown",
                                            "install",
                                            "test",
                                            "dispatch",
                                            "sent",
                                            "collected",
                                            "returned",
                                            "withdrawn",
                                            "abandoned",
                                        ],
                                    ),
                                    models.Q(("cause", ""), _negated=True),
                                ),
                                name="rework_says_where_and_why",
                            )
                        ],
                    },
                ),
            ],
        ),
        migrations.AddField(
            model_name="reading",
            name="rework",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="readings",
                to="builds.rework",
            ),
        ),
        shop.append_only.AppendOnly(
            table="builds_promise",
            facts=["build_id", "day", "reason", "at", "by_id"],
        ),
        shop.append_only.AppendOnly(
            table="builds_cellcheck",
            facts=["result", "millivolts", "note", "by_id", "at"],
        ),
        shop.append_only.AppendOnly(
            table="builds_takenout",
            facts=["token", "build_id", "what", "is_out", "by_id", "at"],
        ),
        shop.append_only.AppendOnly(
            table="builds_stepdone",
            facts=["token", "build_id", "step_id", "is_off", "by_id", "at"],
        ),
        shop.append_only.AppendOnly(
            table="builds_depthtried",
            facts=["token", "build_id", "depth_mm", "as_typed", "by_id", "at"],
        ),
        shop.append_only.AppendOnly(
            table="builds_measurement",
            facts=[
                "hilt_id",
                "section_id",
                "joint_id",
                "hole_id",
                "quantity",
                "value",
                "second",
                "tolerance",
                "as_typed",
                "basis",
                "believed_from_id",
                "token",
                "by_id",
                "at",
            ],
        ),
        shop.append_only.AppendOnly(
            table="builds_attempt",
            facts=[
                "token",
                "build_id",
                "joint_id",
                "means",
                "minutes",
                "celsius",
                "came",
                "words",
                "by_id",
                "at",
            ],
        ),
        shop.append_only.AppendOnly(
            table="builds_decision",
            facts=["token", "build_id", "kit_id", "code", "words", "by_id", "at", "figures"],
        ),
        shop.append_only.AppendOnly(
            table="builds_packtick",
            facts=["token", "parcel_id", "build_id", "code", "at", "by_id"],
        ),
        shop.append_only.AppendOnly(
            table="builds_carrierrule",
            facts=[
                "token",
                "service_id",
                "code",
                "words",
                "source",
                "written_on",
                "valid_until",
                "by_id",
                "at",
            ],
        ),
        shop.append_only.Guard(
            table="builds_parcel",
            rules={
                "delete": "OLD.left_at IS NOT NULL",
                "update": "OLD.left_at IS NOT NULL AND NEW.left_at IS NOT NULL AND (OLD.token {differs} NEW.token OR OLD.day {differs} NEW.day OR OLD.closed_at {differs} NEW.closed_at OR OLD.closed_by_id {differs} NEW.closed_by_id OR OLD.box_id {differs} NEW.box_id OR OLD.length_mm {differs} NEW.length_mm OR OLD.width_mm {differs} NEW.width_mm OR OLD.height_mm {differs} NEW.height_mm OR OLD.gross_g {differs} NEW.gross_g OR OLD.service_id {differs} NEW.service_id OR OLD.declared_minor {differs} NEW.declared_minor OR OLD.insured_by {differs} NEW.insured_by OR OLD.is_unused {differs} NEW.is_unused OR OLD.customs_words {differs} NEW.customs_words OR OLD.customs_minor {differs} NEW.customs_minor OR OLD.origin {differs} NEW.origin OR OLD.tariff_code {differs} NEW.tariff_code OR OLD.sent_to {differs} NEW.sent_to OR CAST(OLD.classed AS text) {differs} CAST(NEW.classed AS text) OR OLD.left_at {differs} NEW.left_at OR OLD.left_by_id {differs} NEW.left_by_id)",
            },
        ),
        shop.append_only.Guard(
            table="builds_stowed",
            rules={
                "delete": "(SELECT left_at FROM builds_parcel WHERE id = OLD.parcel_id) IS NOT NULL",
                "insert": "(SELECT left_at FROM builds_parcel WHERE id = NEW.parcel_id) IS NOT NULL",
                "update": "(SELECT left_at FROM builds_parcel WHERE id = OLD.parcel_id) IS NOT NULL",
            },
        ),
        shop.append_only.Guard(
            table="builds_packedgoods",
            rules={
                "delete": "(SELECT left_at FROM builds_parcel WHERE id = OLD.parcel_id) IS NOT NULL",
                "insert": "(SELECT left_at FROM builds_parcel WHERE id = NEW.parcel_id) IS NOT NULL",
                "update": "(SELECT left_at FROM builds_parcel WHERE id = OLD.parcel_id) IS NOT NULL",
            },
        ),
        shop.append_only.AppendOnly(
            table="builds_runline",
            facts=[
                "run_id",
                "code",
                "position",
                "name",
                "how",
                "caution",
                "read",
                "unit",
                "low",
                "high",
                "high_told",
                "times",
                "minutes",
                "mark",
                "because",
                "only_after",
                "never_pass",
            ],
        ),
        shop.append_only.AppendOnly(
            table="builds_reading",
            facts=[
                "token",
                "line_id",
                "value",
                "as_typed",
                "verdict",
                "instrument_id",
                "note",
                "rework_id",
                "by_id",
                "at",
            ],
        ),
        shop.append_only.AppendOnly(
            table="builds_cardlisting",
            facts=["token", "build_id", "total_bytes", "made_at", "made_by_id"],
        ),
        shop.append_only.AppendOnly(
            table="builds_made",
            facts=["of_id", "row", "how", "about", "before"],
        ),
        shop.append_only.AppendOnly(
            table="builds_cardcheck",
            facts=["token", "listing_id", "same", "at", "by_id"],
        ),
        shop.append_only.Guard(
            table="builds_slot",
            rules={
                "insert": "NEW.sound_set_id IS NOT NULL AND NEW.ended_at IS NULL AND EXISTS (SELECT 1 FROM builds_soundset s WHERE s.id = NEW.sound_set_id AND s.licence = 'one-buyer' AND s.customer_id <> (SELECT o.customer_id FROM builds_build b JOIN shop_item i ON i.id = b.item_id JOIN shop_order o ON o.id = i.order_id WHERE b.id = NEW.build_id))",
                "update": "NEW.sound_set_id IS NOT NULL AND NEW.ended_at IS NULL AND EXISTS (SELECT 1 FROM builds_soundset s WHERE s.id = NEW.sound_set_id AND s.licence = 'one-buyer' AND s.customer_id <> (SELECT o.customer_id FROM builds_build b JOIN shop_item i ON i.id = b.item_id JOIN shop_order o ON o.id = i.order_id WHERE b.id = NEW.build_id))",
            },
        ),
        shop.append_only.Guard(
            table="builds_soundset",
            rules={
                "update": "NEW.licence = 'one-buyer' AND EXISTS (SELECT 1 FROM builds_slot t WHERE t.sound_set_id = NEW.id AND t.ended_at IS NULL AND NEW.customer_id <> (SELECT o.customer_id FROM builds_build b JOIN shop_item i ON i.id = b.item_id JOIN shop_order o ON o.id = i.order_id WHERE b.id = t.build_id))"
            },
        ),
        shop.append_only.AppendOnly(
            table="builds_move",
            facts=[
                "build_id",
                "token",
                "from_state",
                "to_state",
                "at",
                "by_id",
                "reason",
                "undoes_id",
                "caused_in",
                "was_started_at",
                "was_started_by_id",
                "was_since",
                "was_in_tray_id",
            ],
        ),
        shop.append_only.AppendOnly(
            table="builds_conditionnote",
            facts=["section", "grade", "words", "by_id", "at", "mark_x", "mark_y"],
        ),
        shop.append_only.AppendOnly(
            table="builds_pass",
            facts=["build_id", "stage", "code", "reason", "by_id", "at", "stay_since"],
        ),
        shop.append_only.AppendOnly(
            table="builds_rework",
            facts=[
                "token",
                "build_id",
                "found_in",
                "caused_in",
                "cause",
                "minutes",
                "by_id",
                "at",
                "failed_id",
            ],
        ),
        shop.append_only.AppendOnly(
            table="builds_lineletby",
            facts=["line_id", "reason", "by_id", "at"],
        ),
        shop.append_only.Guard(
            table="builds_packed",
            rules={
                "delete": "(SELECT left_at FROM builds_parcel WHERE id = OLD.parcel_id) IS NOT NULL",
                "update": "(SELECT left_at FROM builds_parcel WHERE id = OLD.parcel_id) IS NOT NULL",
            },
        ),
        shop.append_only.Guard(
            table="builds_packtick",
            rules={
                "insert": "(SELECT left_at FROM builds_parcel WHERE id = NEW.parcel_id) IS NOT NULL",
                "update": "(SELECT left_at FROM builds_parcel WHERE id = OLD.parcel_id) IS NOT NULL",
            },
        ),
    ]
