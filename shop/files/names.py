"""Where a file lies in the storage, by its SHA-256."""

ORIGINALS = "originals"
RENDITIONS = "renditions"


def original(sha256: str) -> str:
    """The bytes as they came."""
    return f"{ORIGINALS}/{sha256[:2]}/{sha256}"


def rendition(sha256: str, side: int) -> str:
    """A picture made from them."""
    return f"{RENDITIONS}/{sha256[:2]}/{sha256}-{side}.webp"
