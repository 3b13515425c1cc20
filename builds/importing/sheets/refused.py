"""Why a file is not read: each reason is one plain sentence."""

from django.utils.translation import gettext as _

MOST_BYTES = 10 * 1024 * 1024
MOST_UNPACKED = 80 * 1024 * 1024  # a workbook of 10,000 rows and 30 columns is about 20 MB
MOST_ROWS = 10_000
MOST_COLUMNS = 200
MOST_CELLS = 400_000
MOST_LETTERS = 32_767  # what one cell of a spreadsheet program takes


class NotReadable(ValueError):
    """A file that cannot be brought in; the text says why and what to do."""


def empty() -> NotReadable:
    """No bytes, or no cell with anything in it."""
    return NotReadable(_("There is nothing in this sheet. Choose another file or sheet."))


def too_large() -> NotReadable:
    """More bytes than a shop's sheet has."""
    return NotReadable(_("This file is larger than 10 MB. Save the rows you need in a new file."))


def unpacks_too_far() -> NotReadable:
    """A workbook that is small on the disk and huge in memory."""
    return NotReadable(
        _("This workbook unpacks to more than 80 MB. Copy the rows you need into a new one.")
    )


def not_whole() -> NotReadable:
    """A workbook that ends too early, or is damaged."""
    return NotReadable(
        _("This workbook did not come whole. Open it in your own program, save it anew as XLSX.")
    )


def not_a_sheet() -> NotReadable:
    """Neither text nor a workbook, whatever its name says."""
    return NotReadable(
        _("This is no spreadsheet that we can read. In your program, save it as CSV or XLSX.")
    )


def old_or_locked() -> NotReadable:
    """The container of old workbooks and of those with a password."""
    return NotReadable(
        _("This is an old .xls workbook, or one with a password. Save it as XLSX without password.")
    )


def other_alphabet() -> NotReadable:
    """Text that is not written in the characters that were chosen."""
    return NotReadable(_("The file is not written in these characters. Choose others."))


def too_many_rows() -> NotReadable:
    """More rows than are brought in at once."""
    return NotReadable(
        _("This sheet has more than %s rows. Bring it in as two files.") % f"{MOST_ROWS:,}"
    )


def too_many_columns() -> NotReadable:
    """More columns than anybody matches by hand."""
    return NotReadable(
        _("This sheet has more than %s columns. Delete those that are not needed.") % MOST_COLUMNS
    )


def too_many_cells() -> NotReadable:
    """Rows times columns come to too much."""
    return NotReadable(
        _("This sheet has more than %s cells. Bring it in as two files.") % f"{MOST_CELLS:,}"
    )


def too_long_a_cell(row: int) -> NotReadable:
    """A cell with a book in it: often a quotation mark that is never closed."""
    return NotReadable(
        _(
            "One cell at row %(row)s holds more than %(most)s letters. Is a quotation mark "
            "there never closed?"
        )
        % {"row": row, "most": f"{MOST_LETTERS:,}"}
    )


def no_such_sheet() -> NotReadable:
    """A sheet that was chosen before and is not in the new file."""
    return NotReadable(_("The file has no sheet of that name. Choose another one."))


def no_header() -> NotReadable:
    """The row that was named as the header has nothing in it."""
    return NotReadable(_("There are no headings in that row. Name the row that has them."))
