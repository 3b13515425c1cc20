"""The page that explains an export, for somebody who has never seen this tool, as the shop speaks.

Tables and columns keep the names that programs know, and what each table is stands in English: the
page says so.
"""

from datetime import datetime
from textwrap import fill
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from shop.house.models import House
from shop.house.speech import speaking_as
from shop.keeping.plain import LEFT_OUT, Columns, explained, exported
from shop.web.dated import dated

WIDTH = 100


def read_me(counts: dict[str, int], missing: list[str], shop: House, now: datetime) -> str:
    """What lies in an export.

    :param counts: how many rows of each table were written.
    :param missing: files whose bytes were gone.
    """
    with speaking_as(shop):
        parts = [*_head(shop, now), *_hints(shop.currency), *_tables(counts, shop), *_left_out()]
        lost = [_("Rows whose file was gone already:"), *missing, ""] if missing else []
    return "\n".join([*parts, *lost])


def _head(shop: House, now: datetime) -> list[str]:
    made = f"{dated(now.astimezone(shop.zone), 'full moment')} ({shop.zone.key})"
    return [
        _("Everything that the shop has kept").upper(),
        _("Written on %s.") % made,
        "",
        fill(_("It holds what customers told you. Keep it as you keep the shop’s books."), WIDTH),
        "",
        *_folder("csv/", _("a table each, to open in any spreadsheet: UTF-8, commas, the headings "
                           "in the first row")),
        *_folder("json/", _("the same rows as JSON, for programs")),
        *_folder("files/", _("photos, films, sounds and papers byte for byte as they came")),
        "",
    ]  # fmt: skip


def _folder(name: str, words: str) -> list[str]:
    return [fill(words, WIDTH, initial_indent=f"{name:<9}", subsequent_indent=" " * 9)]


def _hints(currency: str) -> list[str]:
    hints = [
        _("Tables and columns keep the names that programs know them by. What each table is, or "
          "why it is left out, stands in English."),
        _("A column that ends in _id names a row of another table by its number. Photo has "
          "build_id, which is the row of Build with that id, and blob_id, which is the row of "
          "Blob; Blob says in its column “file” which file in files/ that is."),
        _("Sums of money are decimals, and the column “currency” beside them says of which money "
          "(%s where nothing else stands there). Inside of figures that are kept as JSON, what "
          "ends in “minor” is in the smallest coin.") % currency,
        _("What ends in _hundredths is in hundredths (2000 is 20), what ends in _thousandths in "
          "thousandths. _mm are millimetres, _minutes minutes, _ms and _s milliseconds and "
          "seconds."),
        _("Times are ISO 8601 with the distance from UTC, in the shop’s zone."),
        _("In CSV an empty cell is nothing, and yes and no are “yes” and “no”. Where somebody’s "
          "words begin with = + - @ or a tab, a ' stands before them, so that no spreadsheet takes "
          "them for a formula; the JSON has them as they were typed."),
        _("Not written out: passwords, codes and keys, and columns that serve finding alone."),
    ]  # fmt: skip
    listed = [fill(each, WIDTH, initial_indent="- ", subsequent_indent="  ") for each in hints]
    return [_("How to read it").upper(), *listed, ""]


def _tables(counts: dict[str, int], shop: House) -> list[str]:
    told = [
        f"{name}: {counts[name]}\n    {explained(model)}\n    {_columns(model, shop)}\n"
        for model in exported()
        if (name := model.__name__) in counts
    ]
    return [_("The tables, each with its rows").upper(), *told]


def _columns(model: type, shop: House) -> str:
    zone: ZoneInfo = shop.zone
    return ", ".join(Columns(model, zone, shop.currency).names)


def _left_out() -> list[str]:
    left = [f"{name}: {why}." for name, why in LEFT_OUT.items()]
    return [_("Left out").upper(), *left, ""]
