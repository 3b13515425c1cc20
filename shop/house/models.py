"""The one row of shop settings, and the counters behind numbers without gaps."""

from datetime import time
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.validators import URLValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.house.states import Prices, Rounding
from shop.house.world import LETTER

_WEB_ADDRESS = URLValidator(schemes=["http", "https"])


class LengthUnit(models.TextChoices):
    """The unit that lengths are shown and typed in; they are kept in millimetres."""

    MM = "mm", _("millimetres")
    INCH = "in", _("inches")


class DateForm(models.TextChoices):
    """How days are written, on every page and paper."""

    BY_LANGUAGE = "", _("as the language has it")
    DAY = "day", _("26 Nov 2026")
    MONTH = "month", _("Nov 26, 2026")
    US = "us", _("11/26/2026")
    DOTS = "dots", _("26.11.2026")
    ISO = "iso", _("2026-11-26")


class ClockForm(models.TextChoices):
    """How hours are written."""

    H24 = "24", _("15:30")
    H12 = "12", _("3:30 PM")


class Paper(models.TextChoices):
    """The size of sheets that papers are made for."""

    BY_COUNTRY = "", _("as the country has it")
    A4 = "a4", _("A4")
    LETTER = "us-letter", _("Letter")


class FirstDay(models.IntegerChoices):
    """The day that a week begins with, where a week is listed."""

    MONDAY = 0, _("Monday")
    SATURDAY = 5, _("Saturday")
    SUNDAY = 6, _("Sunday")


class House(models.Model):
    """The shop itself. There is exactly one row, with id 1."""

    id = models.PositiveSmallIntegerField(primary_key=True, default=1)
    name = models.CharField(_("shop name"), max_length=80)
    email = models.EmailField(_("shop's mailbox"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    address = models.TextField(_("postal address"), blank=True)
    zone_name = models.CharField(_("time zone"), max_length=60, default="UTC")
    country = models.CharField(_("country"), max_length=2, default="GB")
    region = models.CharField(_("region, for public holidays"), max_length=10, blank=True)
    currency = models.CharField(_("currency"), max_length=3, default="GBP")
    cut_off = models.TimeField(_("cut-off hour of a dispatch day"), default=time(15, 0))
    # The rest of the day goes into what nobody plans: the telephone, the post, the broom.
    planned_percent = models.PositiveSmallIntegerField(
        _("share of the day that is planned, percent"), default=80
    )
    most_opened = models.PositiveSmallIntegerField(_("builds opened at one time"), default=6)
    # A promise whose odds are below it is in danger.
    least_odds_percent = models.PositiveSmallIntegerField(
        _("least odds of a promise, percent"), default=80
    )
    shows_odds = models.BooleanField(_("customers see the odds"), default=False)
    closed_on_holidays = models.BooleanField(_("closed on public holidays"), default=True)
    bench_url = models.CharField(
        _("bench address, for tags"), max_length=200, blank=True, validators=[_WEB_ADDRESS]
    )
    public_url = models.CharField(
        _("public address, for customers' links"),
        max_length=200,
        blank=True,
        validators=[_WEB_ADDRESS],
    )
    length_unit = models.CharField(
        _("lengths in"), max_length=2, choices=LengthUnit, default=LengthUnit.MM
    )
    # How the shop speaks and writes; staff and customers may have a language of their own.
    language = models.CharField(_("language"), max_length=10, default=settings.LANGUAGE_CODE)
    date_form = models.CharField(
        _("days are written"), max_length=5, choices=DateForm, blank=True, default=""
    )
    clock_form = models.CharField(
        _("hours are written"), max_length=2, choices=ClockForm, default=ClockForm.H24
    )
    first_day = models.PositiveSmallIntegerField(
        _("a week begins on"), choices=FirstDay, default=FirstDay.MONDAY
    )
    paper = models.CharField(
        _("size of paper"), max_length=9, choices=Paper, blank=True, default=""
    )
    # How long a cell must last in a hilt that nobody uses. Common practice, no source.
    least_idle_days = models.PositiveSmallIntegerField(_("least days at rest"), default=30)
    # Minutes of tries on a stuck joint after which the plan is looked at anew, and how far a blade
    # must go into its socket. Common practice, no source.
    most_try_minutes = models.PositiveSmallIntegerField(
        _("minutes of tries on a stuck joint"), default=60
    )
    least_depth_mm = models.FloatField(_("least depth of a blade"), default=19.0)
    # How many waits for a delivery in 100 must not run out of a part. Common practice, no source.
    service_percent = models.PositiveSmallIntegerField(
        _("waits in 100 that do not run out"), default=95
    )
    # Money: hundredths of a per cent, minor units of the currency.
    prices = models.CharField(
        _("prices are"), max_length=12, choices=Prices, default=Prices.WITH_TAX
    )
    rounding = models.CharField(
        _("half a coin goes"), max_length=20, choices=Rounding, default=Rounding.HALF_UP
    )
    tax_hundredths = models.PositiveIntegerField(default=0)
    tax_number = models.CharField(_("tax number"), max_length=40, blank=True)
    hour_minor = models.PositiveIntegerField(default=0)
    deposit_hundredths = models.PositiveIntegerField(default=0)
    deposit_from_minor = models.PositiveIntegerField(default=0)
    keeps_deposit = models.BooleanField(
        _("a deposit is kept when the customer withdraws"), default=True
    )
    # Common practice, no source: a shop asks again when more than a fifth over the high figure.
    ceiling_hundredths = models.PositiveIntegerField(default=2000)
    quote_days = models.PositiveSmallIntegerField(_("a quote is valid for, days"), default=30)
    # A rush fee: a share of the work, of the least at least. Both nothing: the shop asks none.
    rush_hundredths = models.PositiveIntegerField(default=0)
    rush_least_minor = models.PositiveIntegerField(default=0)
    invoice_days = models.PositiveSmallIntegerField(_("days to pay an invoice"), default=14)
    # Parcels. The room left on each side of what lies in a box: common practice, no source.
    box_clearance_mm = models.FloatField(_("padding on each side, in a box"), default=30.0)
    customs_words = models.CharField(
        _("what parcels hold, for the customs"), max_length=200, blank=True
    )
    tariff_code = models.CharField(_("tariff code"), max_length=14, blank=True)
    origin = models.CharField(_("country of origin of the work"), max_length=2, blank=True)
    how_to_pay = models.TextField(_("how to pay, for messages and invoices"), blank=True)
    # After-care. Warranties from 45 days to a year are seen; common practice, no source.
    warranty_days = models.PositiveSmallIntegerField(_("warranty, days"), default=180)
    repair_days = models.PositiveSmallIntegerField(_("warranty on a repair, days"), default=90)
    # A repair under warranty leaves the first one as it runs, unless the shop says more.
    renewed_days = models.PositiveSmallIntegerField(
        _("after a warranty repair at least, days"), default=0
    )
    warranty_words = models.TextField(_("warranty, in words"), blank=True)
    largest_film_mb = models.PositiveIntegerField(_("largest film, MB"), default=2048)
    # Back-ups: at what hour, and for how many years names stay on papers and binding answers once
    # somebody was erased. Ten years is common practice, no source: the tax office of each country
    # says its own.
    backup_at = models.TimeField(_("hour of the nightly back-up"), default=time(3, 0))
    names_kept_years = models.PositiveSmallIntegerField(
        _("names stay on papers, years"), default=10
    )
    # The last morning whose list was looked through and, where something wanted the shop, sent.
    digest_on = models.DateField(null=True, editable=False)
    set_up_at = models.DateTimeField(null=True, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(id=1), name="house_is_one"),
            models.CheckConstraint(
                condition=models.Q(length_unit__in=LengthUnit.values), name="house_length_unit"
            ),
            models.CheckConstraint(
                condition=models.Q(
                    date_form__in=DateForm.values,
                    clock_form__in=ClockForm.values,
                    first_day__in=FirstDay.values,
                    paper__in=Paper.values,
                ),
                name="house_writes",
            ),
            models.CheckConstraint(
                condition=models.Q(service_percent__gte=50, service_percent__lte=99),
                name="house_service_percent",
            ),
            models.CheckConstraint(
                condition=models.Q(
                    most_try_minutes__gte=1,
                    most_try_minutes__lte=600,
                    least_depth_mm__gte=5,
                    least_depth_mm__lte=100,
                ),
                name="house_bench_figures",
            ),
            models.CheckConstraint(
                condition=models.Q(planned_percent__gte=10, planned_percent__lte=100),
                name="house_planned_percent",
            ),
            models.CheckConstraint(
                condition=models.Q(
                    most_opened__gte=1, least_odds_percent__gte=1, least_odds_percent__lte=99
                ),
                name="house_dates",
            ),
            models.CheckConstraint(
                condition=models.Q(box_clearance_mm__gte=0, box_clearance_mm__lte=200),
                name="house_box_clearance",
            ),
            models.CheckConstraint(
                condition=models.Q(prices__in=Prices.values, rounding__in=Rounding.values),
                name="house_money_rules_known",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        """The shop's time zone."""
        return ZoneInfo(self.zone_name)

    @property
    def sheet(self) -> str:
        """The size of paper, as ``shop.web.paper`` knows it."""
        return self.paper or (Paper.LETTER if self.country in LETTER else Paper.A4).value


class Counter(models.Model):
    """The last number given out in a series; locked while the next one is taken."""

    series = models.CharField(max_length=40, unique=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.series} {self.last}"
