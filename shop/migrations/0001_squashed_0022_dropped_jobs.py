import datetime
import django.core.validators
import django.db.models.deletion
import django.db.models.expressions
import shop.append_only
import shop.first_tables
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    replaces = [
        ("shop", "0001_first"),
        ("shop", "0002_append_only"),
        ("shop", "0003_pins_answers_mornings"),
        ("shop", "0004_posting"),
        ("shop", "0005_enquiry"),
        ("shop", "0006_lists"),
        ("shop", "0007_stores"),
        ("shop", "0008_stock_append_only"),
        ("shop", "0009_money"),
        ("shop", "0010_money_append_only"),
        ("shop", "0011_buying"),
        ("shop", "0012_quotes"),
        ("shop", "0013_quotes_fixed"),
        ("shop", "0014_enquiry_photo"),
        ("shop", "0015_enquiry_photo_append_only"),
        ("shop", "0016_delivery_taken_back"),
        ("shop", "0017_bench_limits"),
        ("shop", "0018_papers_sent"),
        ("shop", "0019_parcels_to_pack"),
        ("shop", "0020_hand_over"),
        ("shop", "0021_older_choices"),
        ("shop", "0022_dropped_jobs"),
    ]

    initial = True

    dependencies = []

    operations = [
        shop.first_tables.CreateTables(
            models=[
                migrations.CreateModel(
                    name="Customer",
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
                            "called",
                            models.CharField(
                                help_text="as we greet them", max_length=60, verbose_name="called"
                            ),
                        ),
                        (
                            "full_name",
                            models.CharField(
                                max_length=120, verbose_name="full name, for the parcel"
                            ),
                        ),
                        (
                            "email",
                            models.EmailField(blank=True, max_length=254, verbose_name="e-mail"),
                        ),
                        (
                            "phone",
                            models.CharField(blank=True, max_length=40, verbose_name="telephone"),
                        ),
                        ("address", models.TextField(blank=True, verbose_name="postal address")),
                        (
                            "country",
                            models.CharField(blank=True, max_length=2, verbose_name="country"),
                        ),
                        ("note", models.TextField(blank=True, verbose_name="note")),
                        (
                            "called_folded",
                            models.CharField(db_index=True, editable=False, max_length=60),
                        ),
                        (
                            "name_folded",
                            models.CharField(db_index=True, editable=False, max_length=120),
                        ),
                        (
                            "family_folded",
                            models.CharField(db_index=True, editable=False, max_length=120),
                        ),
                        (
                            "email_folded",
                            models.CharField(db_index=True, editable=False, max_length=254),
                        ),
                        ("since", models.DateTimeField(editable=False)),
                    ],
                ),
                migrations.CreateModel(
                    name="User",
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
                        ("password", models.CharField(max_length=128, verbose_name="password")),
                        (
                            "last_login",
                            models.DateTimeField(blank=True, null=True, verbose_name="last login"),
                        ),
                        (
                            "email",
                            models.EmailField(max_length=254, unique=True, verbose_name="e-mail"),
                        ),
                        ("name", models.CharField(max_length=60, verbose_name="name")),
                        (
                            "role",
                            models.CharField(
                                choices=[("owner", "owner"), ("bench", "bench")],
                                default="bench",
                                max_length=10,
                                verbose_name="role",
                            ),
                        ),
                        (
                            "is_active",
                            models.BooleanField(default=True, verbose_name="may sign in"),
                        ),
                        (
                            "pin",
                            models.CharField(
                                blank=True, default="", editable=False, max_length=128
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("role__in", ["owner", "bench"])),
                                name="user_role_known",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Blob",
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
                        ("sha256", models.CharField(max_length=64, unique=True)),
                        ("size", models.PositiveBigIntegerField()),
                        ("media_type", models.CharField(max_length=60)),
                        ("width", models.PositiveIntegerField(null=True)),
                        ("height", models.PositiveIntegerField(null=True)),
                        ("kept_at", models.DateTimeField()),
                        ("rendered_at", models.DateTimeField(null=True)),
                        ("tries", models.PositiveSmallIntegerField(default=0)),
                        ("problem", models.CharField(blank=True, max_length=200)),
                    ],
                    options={
                        "indexes": [
                            models.Index(
                                condition=models.Q(("problem", ""), ("rendered_at", None)),
                                fields=["id"],
                                name="blob_to_render",
                            )
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("size__gt", 0)), name="blob_not_empty"
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Supplier",
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
                            models.CharField(max_length=80, unique=True, verbose_name="supplier"),
                        ),
                        (
                            "email",
                            models.EmailField(blank=True, max_length=254, verbose_name="e-mail"),
                        ),
                        ("web", models.URLField(blank=True, verbose_name="web page")),
                        (
                            "lead_days",
                            models.PositiveSmallIntegerField(
                                default=14, verbose_name="usual days until it comes"
                            ),
                        ),
                        (
                            "lead_spread_days",
                            models.PositiveSmallIntegerField(
                                default=4, verbose_name="give or take, in days"
                            ),
                        ),
                        ("note", models.TextField(blank=True, verbose_name="note")),
                        ("retired", models.BooleanField(default=False)),
                    ],
                    options={
                        "ordering": ["name"],
                    },
                ),
                migrations.CreateModel(
                    name="Closure",
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
                        ("first", models.DateField(verbose_name="first day")),
                        ("last", models.DateField(verbose_name="last day")),
                        (
                            "reason",
                            models.CharField(blank=True, max_length=80, verbose_name="reason"),
                        ),
                    ],
                    options={
                        "ordering": ["first"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("first__lte", models.F("last"))),
                                name="closure_in_order",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Counter",
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
                        ("series", models.CharField(max_length=40, unique=True)),
                        ("last", models.PositiveIntegerField(default=0)),
                    ],
                ),
                migrations.CreateModel(
                    name="House",
                    fields=[
                        (
                            "id",
                            models.PositiveSmallIntegerField(
                                default=1, primary_key=True, serialize=False
                            ),
                        ),
                        ("name", models.CharField(max_length=80, verbose_name="shop name")),
                        (
                            "email",
                            models.EmailField(
                                blank=True, max_length=254, verbose_name="shop's mailbox"
                            ),
                        ),
                        (
                            "phone",
                            models.CharField(blank=True, max_length=40, verbose_name="telephone"),
                        ),
                        ("address", models.TextField(blank=True, verbose_name="postal address")),
                        (
                            "zone_name",
                            models.CharField(
                                default="UTC", max_length=60, verbose_name="time zone"
                            ),
                        ),
                        (
                            "country",
                            models.CharField(default="GB", max_length=2, verbose_name="country"),
                        ),
                        (
                            "region",
                            models.CharField(
                                blank=True,
                                max_length=10,
                                verbose_name="region, for public holidays",
                            ),
                        ),
                        (
                            "currency",
                            models.CharField(default="GBP", max_length=3, verbose_name="currency"),
                        ),
                        (
                            "cut_off",
                            models.TimeField(
                                default=datetime.time(15, 0),
                                verbose_name="cut-off hour of a dispatch day",
                            ),
                        ),
                        (
                            "closed_on_holidays",
                            models.BooleanField(
                                default=True, verbose_name="closed on public holidays"
                            ),
                        ),
                        (
                            "bench_url",
                            models.CharField(
                                blank=True,
                                max_length=200,
                                validators=[
                                    django.core.validators.URLValidator(schemes=["http", "https"])
                                ],
                                verbose_name="bench address, for tags",
                            ),
                        ),
                        (
                            "public_url",
                            models.CharField(
                                blank=True,
                                max_length=200,
                                validators=[
                                    django.core.validators.URLValidator(schemes=["http", "https"])
                                ],
                                verbose_name="public address, for customers' links",
                            ),
                        ),
                        ("set_up_at", models.DateTimeField(editable=False, null=True)),
                        ("digest_on", models.DateField(editable=False, null=True)),
                        (
                            "least_idle_days",
                            models.PositiveSmallIntegerField(
                                default=30, verbose_name="least days at rest"
                            ),
                        ),
                        (
                            "length_unit",
                            models.CharField(
                                choices=[("mm", "millimetres"), ("in", "inches")],
                                default="mm",
                                max_length=2,
                                verbose_name="lengths in",
                            ),
                        ),
                        ("ceiling_hundredths", models.PositiveIntegerField(default=2000)),
                        ("deposit_from_minor", models.PositiveIntegerField(default=0)),
                        ("deposit_hundredths", models.PositiveIntegerField(default=0)),
                        ("hour_minor", models.PositiveIntegerField(default=0)),
                        (
                            "how_to_pay",
                            models.TextField(
                                blank=True, verbose_name="how to pay, for messages and invoices"
                            ),
                        ),
                        (
                            "invoice_days",
                            models.PositiveSmallIntegerField(
                                default=14, verbose_name="days to pay an invoice"
                            ),
                        ),
                        (
                            "keeps_deposit",
                            models.BooleanField(
                                default=True,
                                verbose_name="a deposit is kept when the customer withdraws",
                            ),
                        ),
                        (
                            "prices",
                            models.CharField(
                                choices=[
                                    ("without-tax", "without tax, which comes on top"),
                                    ("with-tax", "with tax in them"),
                                ],
                                default="with-tax",
                                max_length=12,
                                verbose_name="prices are",
                            ),
                        ),
                        (
                            "quote_days",
                            models.PositiveSmallIntegerField(
                                default=30, verbose_name="a quote is valid for, days"
                            ),
                        ),
                        (
                            "rounding",
                            models.CharField(
                                choices=[
                                    ("ROUND_HALF_UP", "up, away from nothing"),
                                    ("ROUND_HALF_EVEN", "to the even coin"),
                                ],
                                default="ROUND_HALF_UP",
                                max_length=20,
                                verbose_name="half a coin goes",
                            ),
                        ),
                        ("tax_hundredths", models.PositiveIntegerField(default=0)),
                        (
                            "tax_number",
                            models.CharField(blank=True, max_length=40, verbose_name="tax number"),
                        ),
                        (
                            "service_percent",
                            models.PositiveSmallIntegerField(
                                default=95, verbose_name="waits in 100 that do not run out"
                            ),
                        ),
                        (
                            "least_depth_mm",
                            models.FloatField(default=19.0, verbose_name="least depth of a blade"),
                        ),
                        (
                            "most_try_minutes",
                            models.PositiveSmallIntegerField(
                                default=60, verbose_name="minutes of tries on a stuck joint"
                            ),
                        ),
                        (
                            "box_clearance_mm",
                            models.FloatField(
                                default=30.0, verbose_name="padding on each side, in a box"
                            ),
                        ),
                        (
                            "customs_words",
                            models.CharField(
                                blank=True,
                                max_length=200,
                                verbose_name="what parcels hold, for the customs",
                            ),
                        ),
                        (
                            "origin",
                            models.CharField(
                                blank=True,
                                max_length=2,
                                verbose_name="country of origin of the work",
                            ),
                        ),
                        (
                            "tariff_code",
                            models.CharField(blank=True, max_length=14, verbose_name="tariff code"),
                        ),
                        (
                            "largest_film_mb",
                            models.PositiveIntegerField(
                                default=2048, verbose_name="largest film, MB"
                            ),
                        ),
                        (
                            "warranty_days",
                            models.PositiveSmallIntegerField(
                                default=180, verbose_name="warranty, days"
                            ),
                        ),
                        (
                            "warranty_words",
                            models.TextField(blank=True, verbose_name="warranty, in words"),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("id", 1)), name="house_is_one"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("length_unit__in", ["mm", "in"])),
                                name="house_length_unit",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("prices__in", ["without-tax", "with-tax"]),
                                    ("rounding__in", ["ROUND_HALF_UP", "ROUND_HALF_EVEN"]),
                                ),
                                name="house_money_rules_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("service_percent__gte", 50), ("service_percent__lte", 99)
                                ),
                                name="house_service_percent",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("least_depth_mm__gte", 5),
                                    ("least_depth_mm__lte", 100),
                                    ("most_try_minutes__gte", 1),
                                    ("most_try_minutes__lte", 600),
                                ),
                                name="house_bench_figures",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("box_clearance_mm__gte", 0), ("box_clearance_mm__lte", 200)
                                ),
                                name="house_box_clearance",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Kit",
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
                        ("name", models.CharField(max_length=60, unique=True, verbose_name="kit")),
                        ("note", models.TextField(blank=True, verbose_name="note")),
                        ("retired", models.BooleanField(default=False)),
                    ],
                    options={
                        "ordering": ["name"],
                    },
                ),
                migrations.CreateModel(
                    name="PrivateLink",
                    fields=[
                        ("id", models.CharField(max_length=16, primary_key=True, serialize=False)),
                        (
                            "scope",
                            models.CharField(
                                choices=[
                                    ("order", "order: status and answers"),
                                    ("hilt", "hilt: film, booklet, care"),
                                ],
                                max_length=10,
                            ),
                        ),
                        ("about", models.CharField(max_length=60, unique=True)),
                        ("version", models.PositiveSmallIntegerField(default=1)),
                        ("made_at", models.DateTimeField()),
                        ("expires_on", models.DateField(null=True)),
                        ("revoked_at", models.DateTimeField(null=True)),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("scope__in", ["order", "hilt"])),
                                name="link_scope_known",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Throttle",
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
                        ("key", models.CharField(max_length=64, unique=True)),
                        ("since", models.DateTimeField()),
                        ("count", models.PositiveIntegerField(default=0)),
                    ],
                ),
                migrations.CreateModel(
                    name="Weekday",
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
                        ("weekday", models.PositiveSmallIntegerField(unique=True)),
                        ("opens", models.TimeField(blank=True, null=True, verbose_name="opens")),
                        ("closes", models.TimeField(blank=True, null=True, verbose_name="closes")),
                        (
                            "dispatches",
                            models.BooleanField(default=False, verbose_name="dispatch day"),
                        ),
                    ],
                    options={
                        "ordering": ["weekday"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("weekday__lte", 6)), name="weekday_in_week"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("closes", None), ("opens", None)),
                                    ("opens__lt", models.F("closes")),
                                    _connector="OR",
                                ),
                                name="weekday_opens_before_closing",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Wording",
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
                            "occasion",
                            models.CharField(
                                choices=[
                                    ("posting", "post it to us"),
                                    ("arrived", "it arrived safely"),
                                    ("stage", "a stage was reached"),
                                    ("hold", "on hold, your answer"),
                                    ("quote", "a quote to answer"),
                                    ("change", "a change order to answer"),
                                    ("consent", "a consent to give"),
                                    ("came", "the parts came"),
                                    ("ships_on", "ships on"),
                                    ("sent", "sent, with tracking"),
                                    ("late", "later than told"),
                                    ("ship_by", "ship-by reminder to the shop"),
                                    ("chase", "a hold to ask about again"),
                                    ("digest", "the morning's list to the shop"),
                                    ("test", "test mail"),
                                    ("password", "a new password"),
                                    ("paper", "an invoice, a credit note, a receipt"),
                                    ("free", "in your own words"),
                                ],
                                max_length=20,
                                unique=True,
                            ),
                        ),
                        ("subject", models.CharField(max_length=200)),
                        ("body", models.TextField()),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "occasion__in",
                                        [
                                            "posting",
                                            "arrived",
                                            "stage",
                                            "hold",
                                            "quote",
                                            "change",
                                            "consent",
                                            "came",
                                            "ships_on",
                                            "sent",
                                            "late",
                                            "ship_by",
                                            "chase",
                                            "digest",
                                            "test",
                                            "password",
                                            "paper",
                                            "free",
                                        ],
                                    )
                                ),
                                name="wording_occasion_known",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Account",
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
                            "days",
                            models.PositiveSmallIntegerField(
                                default=30, verbose_name="days to pay"
                            ),
                        ),
                        ("discount_hundredths", models.PositiveIntegerField(default=0)),
                        ("hour_minor", models.PositiveIntegerField(blank=True, null=True)),
                        ("limit_minor", models.PositiveBigIntegerField(blank=True, null=True)),
                        (
                            "tax_number",
                            models.CharField(blank=True, max_length=40, verbose_name="tax number"),
                        ),
                        ("closed_at", models.DateTimeField(null=True)),
                        (
                            "customer",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="account",
                                to="shop.customer",
                            ),
                        ),
                    ],
                ),
                migrations.CreateModel(
                    name="Order",
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
                        ("number", models.CharField(max_length=12, unique=True)),
                        ("placed_at", models.DateTimeField()),
                        (
                            "needed_by",
                            models.DateField(blank=True, null=True, verbose_name="needed by"),
                        ),
                        (
                            "price_note",
                            models.TextField(blank=True, verbose_name="price, as agreed"),
                        ),
                        ("note", models.TextField(blank=True, verbose_name="note")),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "customer",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="orders",
                                to="shop.customer",
                            ),
                        ),
                        (
                            "reference",
                            models.CharField(
                                blank=True, max_length=80, verbose_name="customer's reference"
                            ),
                        ),
                        (
                            "ship_address",
                            models.TextField(blank=True, verbose_name="address it goes to"),
                        ),
                        (
                            "ship_country",
                            models.CharField(
                                blank=True, max_length=2, verbose_name="country it goes to"
                            ),
                        ),
                        (
                            "ship_name",
                            models.CharField(blank=True, max_length=120, verbose_name="goes to"),
                        ),
                    ],
                    options={
                        "indexes": [
                            models.Index(fields=["-placed_at", "-id"], name="order_newest")
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Entry",
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
                        ("verb", models.CharField(max_length=40)),
                        ("about", models.CharField(max_length=60)),
                        ("parameters", models.JSONField(default=dict)),
                        (
                            "actor",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "indexes": [models.Index(fields=["about", "-at"], name="history_about")],
                    },
                ),
                migrations.CreateModel(
                    name="Rendition",
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
                        ("longest_side", models.PositiveSmallIntegerField()),
                        ("width", models.PositiveIntegerField()),
                        ("height", models.PositiveIntegerField()),
                        ("size", models.PositiveIntegerField()),
                        (
                            "blob",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="renditions",
                                to="shop.blob",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("blob", "longest_side"), name="rendition_once"
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Upload",
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
                        ("about", models.CharField(max_length=60)),
                        ("name", models.CharField(max_length=200)),
                        ("media_type", models.CharField(blank=True, max_length=60)),
                        ("size", models.PositiveBigIntegerField()),
                        ("received", models.PositiveBigIntegerField(default=0)),
                        ("begun_at", models.DateTimeField()),
                        ("last_at", models.DateTimeField()),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "begun_by",
                            models.ForeignKey(
                                null=True,
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
                    ],
                    options={
                        "indexes": [
                            models.Index(
                                condition=models.Q(("ended_at", None)),
                                fields=["about"],
                                name="upload_open",
                            )
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("received__lte", models.F("size")), ("size__gt", 0)
                                ),
                                name="upload_received_of_its_size",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Part",
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
                        ("name", models.CharField(max_length=80, verbose_name="name")),
                        (
                            "name_folded",
                            models.CharField(db_index=True, editable=False, max_length=80),
                        ),
                        (
                            "counted",
                            models.CharField(
                                choices=[("piece", "pieces"), ("mm", "millimetres")],
                                default="piece",
                                max_length=6,
                                verbose_name="counted in",
                            ),
                        ),
                        ("spec", models.JSONField(blank=True, default=dict)),
                        ("is_typical", models.BooleanField(default=False, editable=False)),
                        (
                            "supplier_ref",
                            models.CharField(
                                blank=True, max_length=60, verbose_name="supplier's number for it"
                            ),
                        ),
                        (
                            "pack",
                            models.PositiveIntegerField(
                                default=1, verbose_name="comes in packs of"
                            ),
                        ),
                        ("cost_minor", models.PositiveIntegerField(blank=True, null=True)),
                        (
                            "stocked",
                            models.BooleanField(default=True, verbose_name="keep in stock"),
                        ),
                        ("retired", models.BooleanField(default=False)),
                        ("note", models.TextField(blank=True, verbose_name="note")),
                        ("since", models.DateTimeField(editable=False)),
                        (
                            "supplier",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="parts",
                                to="shop.supplier",
                            ),
                        ),
                        ("price_minor", models.PositiveIntegerField(blank=True, null=True)),
                        (
                            "care",
                            models.CharField(
                                blank=True,
                                max_length=200,
                                verbose_name="what its owner leaves alone",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["kind", "name_folded", "id"],
                        "indexes": [
                            models.Index(fields=["kind", "name_folded"], name="part_of_kind")
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("counted__in", ["piece", "mm"])),
                                name="part_counted",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("pack__gte", 1)), name="part_pack_at_least_one"
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
                                name="part_kind_known",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Purchase",
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
                        ("number", models.CharField(max_length=14, unique=True)),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("draft", "draft"),
                                    ("ordered", "ordered"),
                                    ("closed", "closed"),
                                    ("cancelled", "cancelled"),
                                ],
                                default="draft",
                                max_length=10,
                            ),
                        ),
                        ("made_at", models.DateTimeField()),
                        ("ordered_at", models.DateTimeField(null=True)),
                        (
                            "expected_on",
                            models.DateField(blank=True, null=True, verbose_name="expected on"),
                        ),
                        (
                            "supplier_ref",
                            models.CharField(
                                blank=True, max_length=60, verbose_name="supplier's order number"
                            ),
                        ),
                        ("note", models.TextField(blank=True, verbose_name="note")),
                        (
                            "made_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "supplier",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="purchases",
                                to="shop.supplier",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-made_at", "-id"],
                        "indexes": [
                            models.Index(fields=["state", "expected_on"], name="purchase_waits")
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("state__in", ["draft", "ordered", "closed", "cancelled"])
                                ),
                                name="purchase_state_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("state__in", ["draft", "cancelled"]),
                                    ("ordered_at__isnull", False),
                                    _connector="OR",
                                ),
                                name="purchase_ordered_at_a_time",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="KitHours",
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
                        ("stage", models.CharField(max_length=10)),
                        ("minutes", models.PositiveIntegerField(verbose_name="minutes")),
                        (
                            "kit",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="hours",
                                to="shop.kit",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "kit hours",
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("kit", "stage"), name="kit_hours_once_a_stage"
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Message",
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
                        ("key", models.CharField(max_length=120, unique=True)),
                        ("about", models.CharField(blank=True, max_length=60)),
                        (
                            "occasion",
                            models.CharField(
                                choices=[
                                    ("posting", "post it to us"),
                                    ("arrived", "it arrived safely"),
                                    ("stage", "a stage was reached"),
                                    ("hold", "on hold, your answer"),
                                    ("quote", "a quote to answer"),
                                    ("change", "a change order to answer"),
                                    ("consent", "a consent to give"),
                                    ("came", "the parts came"),
                                    ("ships_on", "ships on"),
                                    ("sent", "sent, with tracking"),
                                    ("late", "later than told"),
                                    ("ship_by", "ship-by reminder to the shop"),
                                    ("chase", "a hold to ask about again"),
                                    ("digest", "the morning's list to the shop"),
                                    ("test", "test mail"),
                                    ("password", "a new password"),
                                    ("paper", "an invoice, a credit note, a receipt"),
                                    ("free", "in your own words"),
                                ],
                                max_length=20,
                            ),
                        ),
                        ("to", models.EmailField(blank=True, max_length=254)),
                        ("subject", models.CharField(max_length=200)),
                        ("body", models.TextField()),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("queued", "waiting to leave"),
                                    ("sent", "left"),
                                    ("failed", "failed"),
                                    ("withdrawn", "withdrawn"),
                                    ("received", "received"),
                                    ("logged", "said elsewhere"),
                                ],
                                default="queued",
                                max_length=10,
                            ),
                        ),
                        ("message_id", models.CharField(max_length=120, unique=True)),
                        ("made_at", models.DateTimeField()),
                        ("not_before", models.DateTimeField()),
                        ("leased_until", models.DateTimeField(null=True)),
                        ("tries", models.PositiveSmallIntegerField(default=0)),
                        ("last_error", models.TextField(blank=True)),
                        ("done_at", models.DateTimeField(null=True)),
                        ("cause", models.CharField(blank=True, max_length=60)),
                        (
                            "customer",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="messages",
                                to="shop.customer",
                            ),
                        ),
                        (
                            "made_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "link",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.privatelink",
                            ),
                        ),
                        (
                            "answer_to",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="replies",
                                to="shop.message",
                            ),
                        ),
                        ("settled_at", models.DateTimeField(null=True)),
                    ],
                    options={
                        "indexes": [
                            models.Index(fields=["about", "-made_at"], name="message_about"),
                            models.Index(
                                condition=models.Q(("state", "queued")),
                                fields=["not_before"],
                                name="message_due",
                            ),
                            models.Index(
                                condition=models.Q(("cause", ""), _negated=True),
                                fields=["cause"],
                                name="message_cause",
                            ),
                            models.Index(
                                condition=models.Q(("settled_at", None), ("state", "received")),
                                fields=["made_at"],
                                name="message_open_question",
                            ),
                            models.Index(fields=["state", "-made_at"], name="message_of_state"),
                            models.Index(
                                fields=["customer", "-done_at"], name="message_of_customer"
                            ),
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "state__in",
                                        [
                                            "queued",
                                            "sent",
                                            "failed",
                                            "withdrawn",
                                            "received",
                                            "logged",
                                        ],
                                    )
                                ),
                                name="message_state_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("state", "queued"), _negated=True),
                                    models.Q(("to", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="message_queued_has_address",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "occasion__in",
                                        [
                                            "posting",
                                            "arrived",
                                            "stage",
                                            "hold",
                                            "quote",
                                            "change",
                                            "consent",
                                            "came",
                                            "ships_on",
                                            "sent",
                                            "late",
                                            "ship_by",
                                            "chase",
                                            "digest",
                                            "test",
                                            "password",
                                            "paper",
                                            "free",
                                        ],
                                    )
                                ),
                                name="message_occasion_known",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Enquiry",
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
                            "called",
                            models.CharField(blank=True, max_length=60, verbose_name="name"),
                        ),
                        (
                            "contact",
                            models.CharField(
                                blank=True, max_length=200, verbose_name="how to reach them"
                            ),
                        ),
                        ("wishes", models.TextField(verbose_name="what they wish for")),
                        (
                            "deadline",
                            models.DateField(blank=True, null=True, verbose_name="needed by"),
                        ),
                        (
                            "how",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("page", "on the customer's page"),
                                    ("mail", "by mail"),
                                    ("telephone", "by telephone"),
                                    ("chat", "in a chat"),
                                    ("person", "in person"),
                                ],
                                max_length=10,
                                verbose_name="how it came",
                            ),
                        ),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("open", "not answered yet"),
                                    ("answered", "answered"),
                                    ("ordered", "became an order"),
                                    ("lost", "came to nothing"),
                                ],
                                default="open",
                                max_length=10,
                            ),
                        ),
                        (
                            "why_lost",
                            models.CharField(blank=True, max_length=200, verbose_name="why"),
                        ),
                        ("came_at", models.DateTimeField()),
                        ("state_since", models.DateTimeField()),
                        (
                            "customer",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="enquiries",
                                to="shop.customer",
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
                        (
                            "order",
                            models.OneToOneField(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="enquiry",
                                to="shop.order",
                            ),
                        ),
                    ],
                    options={
                        "verbose_name_plural": "enquiries",
                        "indexes": [
                            models.Index(fields=["state", "came_at"], name="enquiry_waits")
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("state__in", ["open", "answered", "ordered", "lost"])
                                ),
                                name="enquiry_state_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("customer__isnull", False),
                                    models.Q(("called", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="enquiry_of_somebody",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("state", "lost"), models.Q(("why_lost", ""), _negated=True)
                                    ),
                                    models.Q(
                                        models.Q(("state", "lost"), _negated=True), ("why_lost", "")
                                    ),
                                    _connector="OR",
                                ),
                                name="enquiry_lost_says_why",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("order__isnull", False), ("state", "ordered")),
                                    models.Q(
                                        models.Q(("state", "ordered"), _negated=True),
                                        ("order", None),
                                    ),
                                    _connector="OR",
                                ),
                                name="enquiry_ordered_has_its_order",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("how", ""),
                                    ("how__in", ["page", "mail", "telephone", "chat", "person"]),
                                    _connector="OR",
                                ),
                                name="enquiry_came_somehow",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Quote",
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
                        ("revision", models.PositiveSmallIntegerField()),
                        ("token", models.UUIDField(unique=True)),
                        (
                            "kind",
                            models.CharField(
                                choices=[("quote", "quote"), ("change", "change order")],
                                default="quote",
                                max_length=10,
                            ),
                        ),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("draft", "draft"),
                                    ("sent", "waits for the answer"),
                                    ("accepted", "accepted"),
                                    ("declined", "declined"),
                                    ("withdrawn", "withdrawn"),
                                ],
                                default="draft",
                                max_length=10,
                            ),
                        ),
                        (
                            "because",
                            models.TextField(
                                blank=True, verbose_name="what was found and what changes"
                            ),
                        ),
                        (
                            "minutes_so_far",
                            models.PositiveIntegerField(
                                blank=True, null=True, verbose_name="worked so far, minutes"
                            ),
                        ),
                        ("currency", models.CharField(max_length=3)),
                        (
                            "prices",
                            models.CharField(
                                choices=[
                                    ("without-tax", "without tax, which comes on top"),
                                    ("with-tax", "with tax in them"),
                                ],
                                max_length=12,
                            ),
                        ),
                        (
                            "rounding",
                            models.CharField(
                                choices=[
                                    ("ROUND_HALF_UP", "up, away from nothing"),
                                    ("ROUND_HALF_EVEN", "to the even coin"),
                                ],
                                max_length=20,
                            ),
                        ),
                        ("discount_hundredths", models.PositiveIntegerField(default=0)),
                        ("discount_minor", models.PositiveBigIntegerField(default=0)),
                        ("low_minor", models.PositiveBigIntegerField(default=0)),
                        ("high_minor", models.PositiveBigIntegerField(default=0)),
                        ("tax_minor", models.PositiveBigIntegerField(default=0)),
                        ("ceiling_minor", models.PositiveBigIntegerField(blank=True, null=True)),
                        ("deposit_minor", models.PositiveBigIntegerField(default=0)),
                        (
                            "valid_until",
                            models.DateField(blank=True, null=True, verbose_name="valid until"),
                        ),
                        ("text", models.TextField(blank=True)),
                        ("made_at", models.DateTimeField()),
                        ("sent_at", models.DateTimeField(null=True)),
                        ("answered_at", models.DateTimeField(null=True)),
                        (
                            "answered_how",
                            models.CharField(
                                blank=True,
                                choices=[
                                    ("page", "on the customer's page"),
                                    ("mail", "by mail"),
                                    ("telephone", "by telephone"),
                                    ("chat", "in a chat"),
                                    ("person", "in person"),
                                ],
                                max_length=10,
                            ),
                        ),
                        ("answer_words", models.TextField(blank=True)),
                        (
                            "made_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "order",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="quotes",
                                to="shop.order",
                            ),
                        ),
                        (
                            "recorded_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["order", "-revision"],
                        "indexes": [
                            models.Index(fields=["state", "valid_until"], name="quote_waits")
                        ],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("order", "revision"), name="quote_revision_once"
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("state__in", ["draft", "sent"])),
                                fields=("order",),
                                name="quote_one_open_an_order",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "state__in",
                                        ["draft", "sent", "accepted", "declined", "withdrawn"],
                                    )
                                ),
                                name="quote_state_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("kind__in", ["quote", "change"])),
                                name="quote_kind_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("low_minor__lte", models.F("high_minor"))),
                                name="quote_low_is_not_above_high",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("state__in", ["draft", "withdrawn"]),
                                    models.Q(
                                        ("sent_at__isnull", False),
                                        models.Q(("text", ""), _negated=True),
                                    ),
                                    _connector="OR",
                                ),
                                name="quote_sent_with_its_text",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("state__in", ["accepted", "declined"]), _negated=True
                                    ),
                                    models.Q(
                                        ("answered_at__isnull", False),
                                        models.Q(("answered_how", ""), _negated=True),
                                    ),
                                    _connector="OR",
                                ),
                                name="quote_answered_by_a_way",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Item",
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
                                choices=[("job", "job"), ("goods", "goods")],
                                default="job",
                                max_length=10,
                            ),
                        ),
                        ("wanted", models.TextField(verbose_name="what is wanted")),
                        ("quantity", models.PositiveSmallIntegerField(default=1)),
                        (
                            "order",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="items",
                                to="shop.order",
                            ),
                        ),
                        (
                            "part",
                            models.ForeignKey(
                                blank=True,
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="sold_as",
                                to="shop.part",
                            ),
                        ),
                        ("dropped_at", models.DateTimeField(editable=False, null=True)),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("kind__in", ["job", "goods"])),
                                name="item_kind_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("quantity__gte", 1),
                                    models.Q(
                                        models.Q(("kind", "job"), _negated=True),
                                        ("quantity", 1),
                                        _connector="OR",
                                    ),
                                ),
                                name="item_quantity_a_job_is_one",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("part", None), ("kind", "goods"), _connector="OR"
                                ),
                                name="item_of_stores_is_goods",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="KitLine",
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
                            models.PositiveIntegerField(default=1, verbose_name="how many"),
                        ),
                        (
                            "kit",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="lines",
                                to="shop.kit",
                            ),
                        ),
                        (
                            "part",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="kit_lines",
                                to="shop.part",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("quantity__gte", 1)), name="kit_line_of_some"
                            ),
                            models.UniqueConstraint(
                                fields=("kit", "part"), name="kit_line_once_a_part"
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Rating",
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
                        ("quantity", models.CharField(max_length=30)),
                        ("value", models.FloatField()),
                        ("source", models.CharField(max_length=120, verbose_name="who says so")),
                        ("is_typical", models.BooleanField(default=False)),
                        ("at", models.DateTimeField()),
                        ("withdrawn_at", models.DateTimeField(null=True)),
                        (
                            "by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "part",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="ratings",
                                to="shop.part",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["quantity", "value", "id"],
                        "indexes": [
                            models.Index(
                                condition=models.Q(("withdrawn_at", None)),
                                fields=["part", "quantity"],
                                name="rating_in_force",
                            )
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("value__gt", 0)), name="rating_above_zero"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("source", ""), _negated=True),
                                name="rating_has_its_source",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Reservation",
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
                        ("quantity", models.PositiveIntegerField()),
                        ("about", models.CharField(db_index=True, max_length=40)),
                        ("whose", models.CharField(max_length=40)),
                        ("at", models.DateTimeField()),
                        ("fitted_at", models.DateTimeField(null=True)),
                        ("released_at", models.DateTimeField(null=True)),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "part",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="reservations",
                                to="shop.part",
                            ),
                        ),
                    ],
                    options={
                        "indexes": [
                            models.Index(
                                condition=models.Q(("fitted_at", None), ("released_at", None)),
                                fields=["part"],
                                name="reservation_open",
                            )
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("quantity__gte", 1)), name="reservation_of_some"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("fitted_at", None), ("released_at", None), _connector="OR"
                                ),
                                name="reservation_ends_one_way",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="StockLevel",
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
                        ("on_hand", models.PositiveIntegerField(default=0)),
                        ("reserved", models.PositiveIntegerField(default=0)),
                        (
                            "part",
                            models.OneToOneField(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="level",
                                to="shop.part",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("on_hand__gte", models.F("reserved")), ("reserved__gte", 0)
                                ),
                                name="stock_reserved_is_on_hand",
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Delivery",
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
                        ("note", models.CharField(blank=True, max_length=200, verbose_name="note")),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "purchase",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="deliveries",
                                to="shop.purchase",
                            ),
                        ),
                        ("taken_back_at", models.DateTimeField(null=True)),
                    ],
                    options={
                        "verbose_name_plural": "deliveries",
                        "ordering": ["-came_at", "-id"],
                    },
                ),
                migrations.CreateModel(
                    name="PurchaseLine",
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
                        ("quantity", models.PositiveIntegerField(verbose_name="how many")),
                        ("cost_minor", models.PositiveIntegerField(blank=True, null=True)),
                        ("dropped_at", models.DateTimeField(null=True)),
                        (
                            "part",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="purchase_lines",
                                to="shop.part",
                            ),
                        ),
                        (
                            "purchase",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="lines",
                                to="shop.purchase",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("quantity__gte", 1)),
                                name="purchase_line_of_some",
                            ),
                            models.UniqueConstraint(
                                fields=("purchase", "part"), name="purchase_line_once_a_part"
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Attachment",
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
                            "blob",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.blob",
                            ),
                        ),
                        (
                            "message",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="attachments",
                                to="shop.message",
                            ),
                        ),
                        ("name", models.CharField(blank=True, max_length=80)),
                    ],
                    options={
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("message", "blob"), name="attachment_once"
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="EnquiryPhoto",
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
                        (
                            "blob",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.blob",
                            ),
                        ),
                        (
                            "enquiry",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="photos",
                                to="shop.enquiry",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["id"],
                        "constraints": [
                            models.UniqueConstraint(
                                fields=("enquiry", "blob"), name="enquiry_photo_once"
                            )
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Answer",
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
                                    ("agreed", "the job and its price"),
                                    ("reconfirmed", "still wanted, same options"),
                                    ("heat", "consent to heat"),
                                    ("drilling", "consent to drilling"),
                                    ("finish", "consent to loss of finish"),
                                ],
                                max_length=20,
                            ),
                        ),
                        ("is_yes", models.BooleanField()),
                        ("text", models.TextField()),
                        (
                            "how",
                            models.CharField(
                                choices=[
                                    ("page", "on the customer's page"),
                                    ("mail", "by mail"),
                                    ("telephone", "by telephone"),
                                    ("chat", "in a chat"),
                                    ("person", "in person"),
                                ],
                                max_length=10,
                            ),
                        ),
                        ("by_customer", models.BooleanField(default=True)),
                        ("at", models.DateTimeField()),
                        (
                            "recorded_by",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "item",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="answers",
                                to="shop.item",
                            ),
                        ),
                    ],
                    options={
                        "indexes": [
                            models.Index(fields=["item", "kind", "-at"], name="answer_latest")
                        ],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "kind__in",
                                        ["agreed", "reconfirmed", "heat", "drilling", "finish"],
                                    )
                                ),
                                name="answer_of_a_kind",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("how__in", ["page", "mail", "telephone", "chat", "person"])
                                ),
                                name="answer_came_somehow",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Asking",
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
                                    ("agreed", "the job and its price"),
                                    ("reconfirmed", "still wanted, same options"),
                                    ("heat", "consent to heat"),
                                    ("drilling", "consent to drilling"),
                                    ("finish", "consent to loss of finish"),
                                ],
                                max_length=20,
                                verbose_name="what is asked",
                            ),
                        ),
                        ("words", models.TextField(verbose_name="in words")),
                        ("at", models.DateTimeField()),
                        ("ended_at", models.DateTimeField(null=True)),
                        (
                            "by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "item",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="askings",
                                to="shop.item",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("kind__in", ["heat", "drilling", "finish"])),
                                name="asking_for_a_consent",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("words", ""), _negated=True),
                                name="asking_in_words",
                            ),
                            models.UniqueConstraint(
                                condition=models.Q(("ended_at", None)),
                                fields=("item", "kind"),
                                name="asking_one_at_a_time",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Payment",
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
                                    ("deposit", "deposit"),
                                    ("payment", "payment"),
                                    ("refund", "refund"),
                                    ("written-off", "written off"),
                                ],
                                max_length=12,
                            ),
                        ),
                        ("amount_minor", models.PositiveBigIntegerField()),
                        ("currency", models.CharField(max_length=3)),
                        (
                            "way",
                            models.CharField(
                                choices=[
                                    ("transfer", "bank transfer"),
                                    ("cash", "cash"),
                                    ("card", "card, taken elsewhere"),
                                    ("online", "payment service"),
                                    ("cheque", "cheque"),
                                    ("other", "another way"),
                                ],
                                max_length=10,
                                verbose_name="how",
                            ),
                        ),
                        (
                            "reference",
                            models.CharField(blank=True, max_length=120, verbose_name="reference"),
                        ),
                        ("paid_on", models.DateField(verbose_name="on")),
                        (
                            "because",
                            models.CharField(blank=True, max_length=200, verbose_name="why"),
                        ),
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
                            "item",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="payments",
                                to="shop.item",
                            ),
                        ),
                        (
                            "order",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="payments",
                                to="shop.order",
                            ),
                        ),
                        (
                            "takes_back",
                            models.OneToOneField(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="taken_back_by",
                                to="shop.payment",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["at", "id"],
                        "indexes": [models.Index(fields=["order", "at"], name="payment_of_order")],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("kind__in", ["deposit", "payment", "refund", "written-off"])
                                ),
                                name="payment_kind_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "way__in",
                                        ["transfer", "cash", "card", "online", "cheque", "other"],
                                    )
                                ),
                                name="payment_way_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("amount_minor__gt", 0)),
                                name="payment_of_something",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(
                                        ("kind__in", ["refund", "written-off"]), _negated=True
                                    ),
                                    models.Q(("because", ""), _negated=True),
                                    _connector="OR",
                                ),
                                name="payment_back_says_why",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="QuoteLine",
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
                        ("position", models.PositiveSmallIntegerField(default=0)),
                        (
                            "kind",
                            models.CharField(
                                choices=[
                                    ("kit", "kit"),
                                    ("part", "part"),
                                    ("hours", "hours"),
                                    ("extra", "extra"),
                                    ("postage", "postage"),
                                ],
                                max_length=10,
                            ),
                        ),
                        ("words", models.CharField(max_length=200, verbose_name="what")),
                        ("low_thousandths", models.PositiveIntegerField()),
                        ("quantity_thousandths", models.PositiveIntegerField()),
                        ("each_minor", models.PositiveBigIntegerField()),
                        ("tax_hundredths", models.PositiveIntegerField(default=0)),
                        (
                            "item",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="quote_lines",
                                to="shop.item",
                            ),
                        ),
                        (
                            "kit",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.kit",
                            ),
                        ),
                        (
                            "part",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to="shop.part",
                            ),
                        ),
                        (
                            "quote",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.CASCADE,
                                related_name="lines",
                                to="shop.quote",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["position", "id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("kind__in", ["kit", "part", "hours", "extra", "postage"])
                                ),
                                name="quote_line_kind_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    ("low_thousandths__lte", models.F("quantity_thousandths"))
                                ),
                                name="quote_line_low_is_not_above_high",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Claim",
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
                            "quantity",
                            models.PositiveIntegerField(default=1, verbose_name="how many"),
                        ),
                        (
                            "serial",
                            models.CharField(
                                blank=True, max_length=60, verbose_name="serial number"
                            ),
                        ),
                        (
                            "fault",
                            models.CharField(max_length=200, verbose_name="what is wrong with it"),
                        ),
                        ("about", models.CharField(blank=True, max_length=40)),
                        ("whose", models.CharField(blank=True, max_length=40)),
                        (
                            "state",
                            models.CharField(
                                choices=[
                                    ("open", "to send back"),
                                    ("sent", "sent back"),
                                    ("replaced", "replaced"),
                                    ("credited", "money back"),
                                    ("refused", "refused"),
                                ],
                                default="open",
                                max_length=10,
                            ),
                        ),
                        ("state_since", models.DateTimeField()),
                        ("made_at", models.DateTimeField()),
                        (
                            "made_by",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="+",
                                to=settings.AUTH_USER_MODEL,
                            ),
                        ),
                        (
                            "part",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="claims",
                                to="shop.part",
                            ),
                        ),
                        (
                            "line",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="claims",
                                to="shop.purchaseline",
                            ),
                        ),
                        (
                            "supplier",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="claims",
                                to="shop.supplier",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-made_at", "-id"],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "state__in",
                                        ["open", "sent", "replaced", "credited", "refused"],
                                    )
                                ),
                                name="claim_state_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("quantity__gte", 1)), name="claim_of_some"
                            ),
                            models.CheckConstraint(
                                condition=models.Q(("fault", ""), _negated=True),
                                name="claim_says_what_is_wrong",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="DeliveryLine",
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
                        ("quantity", models.PositiveIntegerField()),
                        (
                            "delivery",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="lines",
                                to="shop.delivery",
                            ),
                        ),
                        (
                            "line",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="came",
                                to="shop.purchaseline",
                            ),
                        ),
                    ],
                    options={
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("quantity__gte", 1)),
                                name="delivery_line_of_some",
                            ),
                            models.UniqueConstraint(
                                fields=("delivery", "line"), name="delivery_line_once"
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="Invoice",
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
                            "paper",
                            models.CharField(
                                choices=[
                                    ("invoice", "invoice"),
                                    ("credit", "credit note"),
                                    ("receipt", "receipt"),
                                ],
                                default="invoice",
                                max_length=10,
                            ),
                        ),
                        ("number", models.CharField(max_length=20, unique=True)),
                        ("currency", models.CharField(max_length=3)),
                        ("figures", models.JSONField()),
                        ("net_minor", models.BigIntegerField()),
                        ("tax_minor", models.BigIntegerField()),
                        ("gross_minor", models.BigIntegerField()),
                        ("seller", models.TextField()),
                        ("buyer", models.TextField()),
                        (
                            "reference",
                            models.CharField(
                                blank=True, max_length=80, verbose_name="customer's reference"
                            ),
                        ),
                        (
                            "because",
                            models.CharField(blank=True, max_length=200, verbose_name="why"),
                        ),
                        ("issued_on", models.DateField()),
                        ("due_on", models.DateField(null=True)),
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
                            "credits",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="credited_by",
                                to="shop.invoice",
                            ),
                        ),
                        (
                            "order",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="invoices",
                                to="shop.order",
                            ),
                        ),
                        (
                            "payment",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="receipts",
                                to="shop.payment",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["at", "id"],
                        "indexes": [models.Index(fields=["issued_on"], name="invoice_issued")],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(("paper__in", ["invoice", "credit", "receipt"])),
                                name="invoice_paper_known",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    models.Q(("credits__isnull", False), ("paper", "credit")),
                                    models.Q(
                                        models.Q(("paper", "credit"), _negated=True),
                                        ("credits", None),
                                    ),
                                    _connector="OR",
                                ),
                                name="invoice_credit_says_of_what",
                            ),
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "gross_minor",
                                        django.db.models.expressions.CombinedExpression(
                                            models.F("net_minor"), "+", models.F("tax_minor")
                                        ),
                                    )
                                ),
                                name="invoice_adds_up",
                            ),
                        ],
                    },
                ),
                migrations.CreateModel(
                    name="StockRow",
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
                            "deed",
                            models.CharField(
                                choices=[
                                    ("received", "received"),
                                    ("reserved", "reserved"),
                                    ("released", "released"),
                                    ("fitted", "fitted"),
                                    ("returned", "returned"),
                                    ("written-off", "written off"),
                                    ("counted", "counted"),
                                ],
                                max_length=12,
                            ),
                        ),
                        ("on_hand_change", models.IntegerField(default=0)),
                        ("reserved_change", models.IntegerField(default=0)),
                        ("about", models.CharField(blank=True, db_index=True, max_length=40)),
                        ("whose", models.CharField(blank=True, max_length=40)),
                        (
                            "reason",
                            models.CharField(blank=True, max_length=200, verbose_name="why"),
                        ),
                        ("cost_minor", models.PositiveIntegerField(null=True)),
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
                            "delivery_line",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="ledger",
                                to="shop.deliveryline",
                            ),
                        ),
                        (
                            "part",
                            models.ForeignKey(
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="ledger",
                                to="shop.part",
                            ),
                        ),
                        (
                            "reservation",
                            models.ForeignKey(
                                null=True,
                                on_delete=django.db.models.deletion.PROTECT,
                                related_name="ledger",
                                to="shop.reservation",
                            ),
                        ),
                    ],
                    options={
                        "ordering": ["-at", "-id"],
                        "indexes": [models.Index(fields=["part", "-at"], name="ledger_of_part")],
                        "constraints": [
                            models.CheckConstraint(
                                condition=models.Q(
                                    (
                                        "deed__in",
                                        [
                                            "received",
                                            "reserved",
                                            "released",
                                            "fitted",
                                            "returned",
                                            "written-off",
                                            "counted",
                                        ],
                                    )
                                ),
                                name="stock_deed_known",
                            )
                        ],
                    },
                ),
            ],
        ),
        migrations.AddField(
            model_name="message",
            name="blobs",
            field=models.ManyToManyField(
                related_name="+", through="shop.Attachment", to="shop.blob"
            ),
        ),
        shop.append_only.MaintenanceSwitch(),
        shop.append_only.AppendOnly(
            table="shop_entry",
            facts=["at", "actor_id", "verb", "about", "parameters"],
        ),
        shop.append_only.AppendOnly(
            table="shop_stockrow",
            facts=[
                "token",
                "part_id",
                "deed",
                "on_hand_change",
                "reserved_change",
                "about",
                "whose",
                "reason",
                "reservation_id",
                "delivery_line_id",
                "cost_minor",
                "by_id",
                "at",
            ],
        ),
        shop.append_only.AppendOnly(
            table="shop_rating",
            facts=["part_id", "quantity", "value", "source", "is_typical", "by_id", "at"],
        ),
        shop.append_only.AppendOnly(
            table="shop_delivery",
            facts=["token", "purchase_id", "came_at", "by_id", "note"],
        ),
        shop.append_only.AppendOnly(
            table="shop_deliveryline",
            facts=["delivery_id", "line_id", "quantity"],
        ),
        shop.append_only.AppendOnly(
            table="shop_payment",
            facts=[
                "token",
                "order_id",
                "item_id",
                "kind",
                "amount_minor",
                "currency",
                "way",
                "reference",
                "paid_on",
                "because",
                "takes_back_id",
                "by_id",
                "at",
            ],
        ),
        shop.append_only.AppendOnly(
            table="shop_invoice",
            facts=[
                "token",
                "paper",
                "number",
                "order_id",
                "credits_id",
                "payment_id",
                "currency",
                "figures",
                "net_minor",
                "tax_minor",
                "gross_minor",
                "seller",
                "buyer",
                "reference",
                "because",
                "issued_on",
                "due_on",
                "by_id",
                "at",
            ],
        ),
        shop.append_only.Guard(
            table="shop_quote",
            rules={
                "delete": "OLD.state <> 'draft'",
                "update": "(OLD.state <> 'draft' AND (OLD.order_id {differs} NEW.order_id OR OLD.revision {differs} NEW.revision OR OLD.token {differs} NEW.token OR OLD.kind {differs} NEW.kind OR OLD.because {differs} NEW.because OR OLD.minutes_so_far {differs} NEW.minutes_so_far OR OLD.currency {differs} NEW.currency OR OLD.prices {differs} NEW.prices OR OLD.rounding {differs} NEW.rounding OR OLD.discount_hundredths {differs} NEW.discount_hundredths OR OLD.discount_minor {differs} NEW.discount_minor OR OLD.low_minor {differs} NEW.low_minor OR OLD.high_minor {differs} NEW.high_minor OR OLD.tax_minor {differs} NEW.tax_minor OR OLD.ceiling_minor {differs} NEW.ceiling_minor OR OLD.deposit_minor {differs} NEW.deposit_minor OR OLD.valid_until {differs} NEW.valid_until OR OLD.text {differs} NEW.text OR OLD.made_at {differs} NEW.made_at OR OLD.made_by_id {differs} NEW.made_by_id OR OLD.sent_at {differs} NEW.sent_at)) OR (OLD.state NOT IN ('draft', 'sent') AND (OLD.state {differs} NEW.state OR OLD.answered_at {differs} NEW.answered_at OR OLD.answered_how {differs} NEW.answered_how OR OLD.answer_words {differs} NEW.answer_words OR OLD.recorded_by_id {differs} NEW.recorded_by_id)) OR (OLD.state = 'sent' AND NEW.state = 'draft')",
            },
        ),
        shop.append_only.Guard(
            table="shop_quoteline",
            rules={
                "delete": "(SELECT state FROM shop_quote WHERE id = OLD.quote_id) <> 'draft'",
                "insert": "(SELECT state FROM shop_quote WHERE id = NEW.quote_id) <> 'draft'",
                "update": "(SELECT state FROM shop_quote WHERE id = OLD.quote_id) <> 'draft' OR (SELECT state FROM shop_quote WHERE id = NEW.quote_id) <> 'draft'",
            },
        ),
        shop.append_only.AppendOnly(
            table="shop_asking",
            facts=["token", "item_id", "kind", "words", "at", "by_id"],
        ),
        shop.append_only.AppendOnly(
            table="shop_enquiryphoto",
            facts=["enquiry_id", "blob_id", "at"],
        ),
        shop.append_only.AppendOnly(
            table="shop_answer",
            facts=[
                "item_id",
                "kind",
                "is_yes",
                "text",
                "how",
                "by_customer",
                "recorded_by_id",
                "at",
            ],
        ),
    ]
