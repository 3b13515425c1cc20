"""A shop with sound sets, and then with many: what is asked of them is what pages cost."""

from datetime import datetime
from uuid import uuid4

from django.core.files.uploadedfile import SimpleUploadedFile

from builds.progress.models import Build
from builds.sounds.actions.cards import keep_of_card, list_card
from builds.sounds.models import Slot, SoundFile, SoundSet
from shop.models import User
from tests.sounds.making import make_board, make_set, sine, wave


class Sounds:
    """A set on a build's card, its list, what is kept of it; and a board with its wish."""

    def __init__(self, build: Build, by: User, now: datetime) -> None:
        self.by, self.now, self.build = by, now, build
        self.board = make_board(by, now)
        self.set = make_set({"hum.wav": wave(sine(seconds=0.1))}, by, now)
        self.file = self.set.files.get()
        known = {"build": build, "colour": "#ff4000", "sound_set": self.set}
        Slot.objects.create(place=90, name="Ember", **known)
        self.listing = list_card(build.pk, token=uuid4(), by=by, now=now)
        upload = SimpleUploadedFile("card.img", b"card")
        self.kept = keep_of_card(
            build, upload, {"kind": "image", "version": ""}, token=uuid4(), by=by, now=now
        )

    def grow(self, count: int) -> None:
        """So many more sets, and files in the one that is looked at."""
        known = {"licence": "anyone", "state": "looked", "added_at": self.now, "added_by": self.by}
        SoundSet.objects.bulk_create(
            SoundSet(token=uuid4(), name=f"Tide {n}", name_folded=f"tide {n}", **known)
            for n in range(count)
        )
        begun = self.set.files.count()
        SoundFile.objects.bulk_create(
            SoundFile(
                sound_set=self.set, path=f"hum{begun + n}.wav", size=9, sort="hum",
                blob=self.file.blob, facts=self.file.facts, looked_at=self.now,
            )
            for n in range(count)
        )  # fmt: skip
