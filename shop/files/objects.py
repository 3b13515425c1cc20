"""Files in an object store that speaks S3. What ``save`` has returned for is there, whole.

Nothing is ever handed out by a link of the store's own: every file goes through the page that
knows who may see it. What is still on its way lies on this machine's disk, as always.
"""

import io
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any

from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError, HTTPClientError
from django.core.files.base import File
from storages.backends.s3 import S3Storage

from shop.files.storage import Spool, StoreAway

ASIDE = "aside"
BLOCK = 256 * 1024
WAITS_S = 10  # for a store that does not answer, each of two tries
# A film is looked at in many short steps: its copy stays for the next one, and goes after a day.
KEPT_FROM = 50 * 1024 * 1024
_GONE = {"404", "NoSuchKey", "NotFound"}


class ObjectStorage(Spool, S3Storage):  # type: ignore[misc]
    """Names come from the content, so that a name is only ever overwritten by equal bytes."""

    def __init__(self, spool: Path, addressing_style: str | None = None, **options: Any) -> None:
        config = Config(
            connect_timeout=WAITS_S, read_timeout=WAITS_S, retries={"total_max_attempts": 2},
            s3={"addressing_style": addressing_style or "auto"},
        )  # fmt: skip
        self.spool = Path(spool)
        super().__init__(**{"client_config": config, "default_acl": None, **options})

    def exists(self, name: str) -> bool:
        with _told():
            return bool(super().exists(name))

    def delete(self, name: str) -> None:
        with _told():
            super().delete(name)

    def size(self, name: str) -> int:
        with _told():
            return int(super().size(name))

    def get_modified_time(self, name: str) -> datetime:
        with _told():
            found: datetime = super().get_modified_time(name)
        return found

    def listdir(self, name: str) -> tuple[list[str], list[str]]:
        with _told():
            found: tuple[list[str], list[str]] = super().listdir(name)
        return found

    def url(self, name: str | None, *args: Any, **options: Any) -> str:
        """There is none: whoever has such a link needs no leave of ours."""
        raise ValueError("Files are served by pages that know who may see them.")  # as Django does

    def discard_older(self, name: str, than: datetime) -> bool:
        """Delete a file unless it was written anew since ``than``; a copy stays aside for a day.

        The store cannot delete on a condition: a file that is kept anew between the question and
        the deletion is put back from its copy.
        """
        with suppress(FileNotFoundError):
            if self.get_modified_time(name) < than:
                self._copy(name, f"{ASIDE}/{name.rpartition('/')[2]}")
                self.delete(name)
                return True
        return False

    def aside(self) -> list[str]:
        """SHA-256 of what was deleted lately."""
        return self.listdir(ASIDE)[1]

    def put_back(self, name: str) -> None:
        """Give a file its name again where it lost it, and let go of its copy."""
        copy = f"{ASIDE}/{name.rpartition('/')[2]}"
        if not self.exists(name):
            self._copy(copy, name)
        self.delete(copy)

    def forget(self, sha256: str, than: datetime) -> None:
        """Let go of a copy that nobody asked for."""
        if self.get_modified_time(f"{ASIDE}/{sha256}") < than:
            self.delete(f"{ASIDE}/{sha256}")

    @contextmanager
    def on_disk(self, name: str) -> Iterator[Path]:
        """A copy of a file on this machine's disk, for as long as this lasts."""
        kept = self.incoming() / f"copy-{name.rpartition('/')[2]}"
        size = self.size(name)
        if kept.is_file() and kept.stat().st_size == size:
            yield kept
            return
        with self._fetched(name) as copy:
            if size >= KEPT_FROM:
                copy.rename(kept)
            yield kept if size >= KEPT_FROM else copy

    @contextmanager
    def _fetched(self, name: str) -> Iterator[Path]:
        with NamedTemporaryFile(dir=self.incoming(), delete=False) as copy:
            try:
                with self.open(name) as file:
                    shutil.copyfileobj(file, copy, BLOCK)
                copy.flush()
                yield Path(copy.name)
            finally:
                Path(copy.name).unlink(missing_ok=True)

    def _open(self, name: str, mode: str = "rb") -> "File[Any]":
        size = self.size(name)
        return _Opened(io.BufferedReader(_Remote(self, name, size), BLOCK), name, size)

    def _save(self, name: str, content: "File[Any]") -> str:
        with _told():
            saved = str(super()._save(name, content))
        # Asked back, so that "kept" is never said of a file that the store cut short.
        if self.size(name) != content.size:
            raise StoreAway(f"{name} did not come whole")
        return saved

    def _copy(self, name: str, to: str) -> None:
        source = {"Bucket": self.bucket_name, "Key": self._key(name)}
        with _told():
            self.connection.meta.client.copy_object(
                Bucket=self.bucket_name, Key=self._key(to), CopySource=source
            )

    def read_from(self, name: str, start: int) -> Any:
        """The bytes of a file from one of them on, as they come."""
        with _told():
            answer = self.connection.meta.client.get_object(
                Bucket=self.bucket_name, Key=self._key(name), Range=f"bytes={start}-"
            )
        return answer["Body"]

    def _key(self, name: str) -> str:
        return str(self._normalize_name(name))


class _Opened(File):
    """An open file that knows its size without being read."""

    def __init__(self, file: Any, name: str, size: int) -> None:
        super().__init__(file, name)
        self.size = size


class _Remote(io.RawIOBase):
    """A file of the store, read from wherever it is asked for: a range costs just itself."""

    def __init__(self, storage: ObjectStorage, name: str, size: int) -> None:
        self.storage, self.name, self.size = storage, name, size
        self.at = 0
        self.body: Any = None

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:
        begin = {io.SEEK_SET: 0, io.SEEK_CUR: self.at, io.SEEK_END: self.size}[whence]
        if begin + offset != self.at:
            self._drop()
        self.at = max(0, begin + offset)
        return self.at

    def readinto(self, buffer: Any) -> int:
        if self.at >= self.size:
            return 0
        if self.body is None:
            self.body = self.storage.read_from(self.name, self.at)
        with _told():
            block = self.body.read(min(len(buffer), self.size - self.at))
        if not block:
            raise StoreAway(f"{self.name} ended while it was being read")
        buffer[: len(block)] = block
        self.at += len(block)
        return len(block)

    def close(self) -> None:
        self._drop()
        super().close()

    def _drop(self) -> None:
        if self.body is not None:
            self.body.close()
        self.body = None


@contextmanager
def _told() -> Iterator[None]:
    """Say in words of our own what went wrong: it is not there, or the store is away."""
    try:
        yield
    except ClientError as error:
        if error.response["Error"]["Code"] in _GONE:
            raise FileNotFoundError("there is no such file in the store") from error
        raise StoreAway("the store refuses it: " + error.response["Error"]["Code"]) from error
    except (BotoCoreError, HTTPClientError) as error:
        raise StoreAway(f"the store does not answer: {type(error).__name__}") from error
