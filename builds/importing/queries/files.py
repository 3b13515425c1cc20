"""The file of an import."""

from django.utils.translation import gettext as _

from builds.importing.models import Import
from builds.importing.sheets import NotReadable
from shop.files.queries import document_of


def content_of(one: Import) -> bytes:
    """The bytes of its file.

    :raises NotReadable: it is let go already, or lost.
    """
    content = document_of(one.blob) if one.blob else None
    if content is None:
        raise NotReadable(_("The file is not here any more. Choose it again."))
    return content
