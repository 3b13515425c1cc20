"""Makes PDFs from the templates in templates/paper. Same data, same bytes.

Data goes in as one JSON text and is never part of a template, so whatever a customer is called
stands on the paper as it was typed.
"""

import json
from collections.abc import Mapping
from typing import Any

import typst
from django.conf import settings

PAPER = settings.BASE_DIR / "templates" / "paper"
FONTS = settings.BASE_DIR / "static" / "vendor" / "atkinson-hyperlegible"
# Where paper is cut to letter size (CLDR, paper sizes of territories); A4 elsewhere.
_LETTER = frozenset(
    {"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}
)


def pdf(template: str, data: Mapping[str, Any], country: str = "") -> bytes:
    """A page or more as PDF.

    :param template: its name in templates/paper, without ending.
    :param data: what stands on it; values that JSON knows.
    :param country: whose size of paper it is for.
    """
    size = "us-letter" if country in _LETTER else "a4"
    made = typst.compile(
        str(PAPER / f"{template}.typ"),
        root=str(PAPER),
        font_paths=[str(FONTS)],
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"data": json.dumps({**data, "size": size})},
    )
    if not isinstance(made, bytes):
        raise TypeError("one document was asked for")
    return made
