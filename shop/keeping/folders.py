"""Where back-ups lie: the folder, a second one as on another disk, and the files in them."""

import fcntl
import os
import shutil
from contextlib import suppress
from hashlib import file_digest
from pathlib import Path

from shop import clock, env
from shop.keeping import archive, kept, sealed
from shop.keeping.archive import PART, Refused

FOLDER, SECOND = "BACKUP_FOLDER", "BACKUP_SECOND_FOLDER"
A_DAY_S = 24 * 60 * 60


def folder() -> Path:
    """The folder for back-ups; one in the data folder where none is named."""
    return Path(env.typed(FOLDER) or env.data_dir() / "backups")


def is_usual() -> bool:
    """Whether they lie in the data folder, on the disk of what they are to save."""
    return not env.typed(FOLDER)


def second() -> Path | None:
    """The second folder, if one is named."""
    named = env.typed(SECOND)
    return Path(named) if named else None


def passphrase() -> str:
    """What locks back-ups; empty: they lie open."""
    return env.typed(sealed.PASSPHRASE)


def is_fixed(name: str) -> bool:
    """Whether the machine's environment says it, so that no page can change it."""
    return bool(os.environ.get(name))


def exports() -> Path:
    """The folder for exports, until they are fetched."""
    return env.data_dir() / "exports"


def ready(path: Path) -> Path:
    """The same folder, made if it is the usual one; ``Refused`` where nothing can be laid down."""
    if path.parent == env.data_dir():
        path.mkdir(mode=0o700, exist_ok=True)
    if not path.is_dir():
        raise Refused(f"The folder {path} is not there: is its disk in its place?", "no folder")
    if not os.access(path, os.W_OK | os.X_OK):
        raise Refused(f"The folder {path} cannot be written to.", "no right")
    return path


def names(path: Path) -> list[str]:
    """The whole back-ups that lie in a folder, the newest first."""
    try:
        found = [each.name for each in path.iterdir() if kept.made_of(each.name)]
    except OSError:
        return []
    return sorted(found, key=lambda name: (kept.made_of(name), name), reverse=True)


def size_of(path: Path) -> int:
    """How large a file is; 0 for one that is gone."""
    try:
        return path.stat().st_size
    except OSError:
        return 0


def copy(source: Path, into: Path) -> None:
    """Copy a back-up into another folder, whole or not at all, and read it back."""
    target = ready(into) / source.name
    with source.open("rb") as original:
        wanted = file_digest(original, "sha256").digest()
        original.seek(0)
        with archive.being_written(target) as file:
            shutil.copyfileobj(original, file, archive.CHUNK)
    with target.open("rb") as copied:
        if file_digest(copied, "sha256").digest() != wanted:
            target.unlink()
            raise Refused(
                f"What was copied to {into} does not read back as it was written.", "copy"
            )


def thin_out(path: Path, newest: str) -> list[str]:
    """Take away what the rule does not keep; the names.

    :param newest: the back-up that was made just now, by whose time the rule goes.
    """
    there, made = names(path), kept.made_of(newest)
    gone = sorted(set(there) - kept.to_keep(there, made)) if made else []
    for name in gone:
        (path / name).unlink(missing_ok=True)
    return gone


def clear_unfinished(path: Path) -> None:
    """Take away what a process that died was still writing."""
    for each in path.glob(f".hiltyard-*{PART}"):
        with suppress(FileNotFoundError):
            if _nobody_writes(each):
                each.unlink(missing_ok=True)


def _nobody_writes(path: Path) -> bool:
    """Whoever writes holds a lock; where the disk knows no locks, nobody writes for a day."""
    with path.open("rb") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:
            return clock.now().timestamp() - os.fstat(file.fileno()).st_mtime > A_DAY_S
    return True
