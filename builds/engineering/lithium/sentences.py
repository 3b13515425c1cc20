"""What the classing says, in English, and how to say it in another tongue."""

from collections.abc import Mapping
from types import MappingProxyType


def gettext_noop(text: str) -> str:
    """The text itself: its name marks it for translators, and the sums know no framework."""
    return text


TEMPLATES: Mapping[str, str] = MappingProxyType(
    {
        # Missing
        "missing-chemistry": gettext_noop("Missing: what is in the cell (ion, metal, none)."),
        "missing-unit": gettext_noop("Missing: whether it is a cell, a battery or a button cell."),
        "missing-count": gettext_noop("Missing: how many cells are in the package."),
        "missing-carried": gettext_noop(
            "Missing: whether the cells are installed, packed with the equipment, or loose."
        ),
        "missing-watt-hours": gettext_noop("Missing: the watt-hours of each."),
        "missing-lithium": gettext_noop("Missing: the grams of lithium in each."),
        "missing-test": gettext_noop("Missing: the UN 38.3 test summary."),
        "missing-damaged": gettext_noop("Missing: whether a cell is damaged or recalled."),
        "missing-used": gettext_noop("Missing: whether the equipment was used or repaired."),
        "missing-gross": gettext_noop("Missing: the gross weight of a package."),
        "missing-net": gettext_noop(
            "Missing: the weight of the cells alone, as the package weighs over %(limit)g kg."
        ),
        "missing-needed": gettext_noop("Missing: how many cells the equipment runs on."),
        "missing-charge": gettext_noop("Missing: the charge of the cells in percent."),
        # Not so
        "damaged": gettext_noop(
            "A damaged, defective or recalled cell goes neither by air nor by post."
        ),
        "damaged-road": gettext_noop(
            "A damaged, defective or recalled cell needs special packaging: not classed here."
        ),
        "too-large": gettext_noop(
            "%(value)g %(unit)s each is over %(limit)g %(unit)s: only as Class 9, not classed here."
        ),
        "loose-heavy": gettext_noop("Loose cells: %(gross_kg)g kg gross is over %(limit)g kg."),
        "loose-by-air": gettext_noop(
            "Loose cells fly on cargo aircraft only, declared by a trained shipper: "
            "not classed here."
        ),
        "air-heavy": gettext_noop("%(net_kg)g kg of cells in a package is over %(limit)g kg."),
        "air-charged": gettext_noop("A charge of %(charge)g %% is above %(limit)g %%."),
        "air-too-many": gettext_noop(
            "%(count)g cells are packed, and %(most)g may be: those needed and %(spares)g spare."
        ),
        "too-many": gettext_noop(
            "More than %(cells)g cells or %(batteries)g batteries in a package."
        ),
        "surface-only": gettext_noop("Loose cells go by surface only."),
        "used-surface-only": gettext_noop("Used or repaired equipment goes by surface only."),
        "used-never-abroad": gettext_noop("Used or repaired equipment is never posted abroad."),
        "installed-only": gettext_noop("Abroad by post cells go installed in equipment only."),
        "packages-abroad": gettext_noop(
            "Over %(limit)g packages to one receiver need a mark, and abroad by post none may be."
        ),
        # The mark
        "mark-not-installed": gettext_noop("The mark is needed: not every cell is installed."),
        "mark-too-many": gettext_noop(
            "The mark is needed: over %(cells)g cells or %(batteries)g batteries are installed."
        ),
        "mark-packages": gettext_noop(
            "The mark is needed: over %(limit)g packages go to this receiver."
        ),
        "no-mark-buttons": gettext_noop("No mark: only button cells, installed."),
        "no-mark-few": gettext_noop(
            "No mark: installed, no more than %(cells)g cells or %(batteries)g batteries, "
            "no more than %(packages)g packages."
        ),
        "no-mark-abroad": gettext_noop("Abroad by post no lithium mark may be outside."),
        "no-lithium": gettext_noop("No lithium is in the parcel."),
        # To mind
        "aid": gettext_noop(
            "A decision aid, no legal advice: the shipper signs, and carriers may be stricter."
        ),
        "terminals": gettext_noop("Cover the terminals so that nothing can bridge them."),
        "switched-off": gettext_noop(
            "Isolate the cell or switch off, so that nothing can wake up."
        ),
        "welded": gettext_noop(
            "A pack that the shop welds is a new type of battery and needs its own UN 38.3 test."
        ),
        "charge-advised": gettext_noop("A charge of no more than %(limit)g %% is advised by air."),
        "waybill": gettext_noop("Write on the air waybill that the cells comply with %(rule)s."),
        "old-mark": gettext_noop("The old mark with a telephone number may be used to %(until)s."),
        "old-mark-over": gettext_noop("The old mark with a telephone number ended on %(until)s."),
        "destination": gettext_noop("The post of the country it goes to may refuse lithium."),
        "table-old": gettext_noop(
            "The limits were last checked in %(checked)s: look whether they still hold."
        ),
    }
)


class Sentence(str):
    """A sentence in English that knows its template and figures, for other tongues.

    ``gettext(sentence.template) % sentence.figures`` says the same in the reader's.
    """

    code: str
    template: str
    figures: Mapping[str, float | str]

    def __new__(cls, code: str, **figures: float | str) -> "Sentence":
        sentence = super().__new__(cls, TEMPLATES[code] % figures)
        sentence.code = code
        sentence.template = TEMPLATES[code]
        sentence.figures = MappingProxyType(figures)
        return sentence

    def __reduce__(self) -> tuple[object, ...]:
        # Copies are made from what it was made from.
        return _again, (self.code, dict(self.figures))


def _again(code: str, figures: Mapping[str, float | str]) -> Sentence:
    return Sentence(code, **figures)
