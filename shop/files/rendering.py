"""Makes the renditions of a blob, a limited number of times, and writes down what went wrong."""

from datetime import datetime, timedelta

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import F, QuerySet
from django.utils.translation import gettext as _

from shop.clock import ago
from shop.files import names
from shop.files.models import Blob, Rendition
from shop.files.queries import on_disk
from shop.files.refusals import DiskFull, Refused
from shop.files.renditions import Made, make
from shop.files.staging import room_said
from shop.files.storage import StoreAway

# A picture that kills the worker is given up in the end; one at which the worker was killed from
# outside, several times by chance, is not.
MOST_TRIES = 12
# A wake-up that was sent is given this long before the sweep sends another.
GRACE = timedelta(seconds=45)


def render(blob_id: int, now: datetime) -> bool:
    """Make the pictures of one blob; whether they were made just now.

    The try is counted before it is begun, so that a picture that kills the worker is tried a
    few times and not for ever.
    """
    if _open().filter(id=blob_id, tries__lt=MOST_TRIES).update(tries=F("tries") + 1) != 1:
        return False
    blob = Blob.objects.get(id=blob_id)
    try:
        pictures = _made(blob)
    except (StoreAway, DiskFull):
        Blob.objects.filter(id=blob_id).update(tries=F("tries") - 1)  # no fault of the picture
        return False
    except Refused as error:
        _give_up(blob_id, str(error))
        return False
    except FileNotFoundError:
        _give_up(blob_id, _("The file itself is missing. Restore it from a back-up."))
        return False
    _record(blob_id, pictures, now)
    return True


def _made(blob: Blob) -> list[Made]:
    """The pictures, kept. A disk without room and a store that is away are told as such."""
    # Whole first: a connection that breaks must not look like a picture that is broken.
    with room_said(), on_disk(blob) as path, path.open("rb") as file:
        pictures = make(file)
    for picture in pictures:
        name = names.rendition(blob.sha256, picture.longest_side)
        with room_said():
            default_storage.save(name, ContentFile(picture.webp))
    return pictures


def left_over(now: datetime, at_most: int) -> list[int]:
    """Ids of blobs that nobody rendered; those that were tried too often get their sentence."""
    waiting = _open().filter(ago("kept_at", GRACE, now))
    waiting.filter(tries__gte=MOST_TRIES).update(
        problem=_("This picture could not be made smaller, however often it was tried.")
    )
    return list(waiting.order_by("id").values_list("id", flat=True)[:at_most])


def _open() -> QuerySet[Blob]:
    return Blob.objects.filter(rendered_at=None, problem="")


@transaction.atomic
def _record(blob_id: int, pictures: list[Made], now: datetime) -> None:
    for picture in pictures:
        Rendition.objects.update_or_create(
            blob_id=blob_id,
            longest_side=picture.longest_side,
            defaults={
                "width": picture.width,
                "height": picture.height,
                "size": len(picture.webp),
            },
        )
    Blob.objects.filter(id=blob_id).update(rendered_at=now, problem="")


def _give_up(blob_id: int, why: str) -> None:
    Blob.objects.filter(id=blob_id).update(problem=why[:200])
