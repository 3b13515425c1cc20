"""Makes back-ups that `backup` would not make, with sums that are right all the same."""

import tarfile
from dataclasses import replace
from pathlib import Path
from typing import Any

from shop.keeping.archive import Manifest, Writer, opened


def rewritten(kept: Path, into: Path, lie_of: str = "", **changes: Any) -> Path:
    """The same members under a manifest that says something else, or a wrong sum of one."""
    with opened(kept) as archive, into.open("wb") as file:
        writer = Writer(file)
        for name in archive.manifest.members:
            writer.add_bytes(name, archive.read(name))
        if lie_of:
            writer.members[lie_of]["sha256"] = "0" * 64
        writer.finish(replace(archive.manifest, **changes))
    return into


def with_member(into: Path, member: tarfile.TarInfo, content: bytes = b"") -> Path:
    """A back-up of one strange member."""
    member.size = len(content)
    with into.open("wb") as file:
        writer = Writer(file)
        writer._write(member.tobuf(tarfile.GNU_FORMAT))
        writer._write(content.ljust(-(-len(content) // 512) * 512, b"\0"))
        writer.finish(Manifest("2026-11-25", {}, {}))
    return into
