"""Private links, as sums: id + HMAC of id and version. Nothing secret lies in the database."""

import hmac
import re
import secrets
from base64 import b32encode
from hashlib import sha256

_ID = re.compile(r"[a-z2-7]{16}")
MAC_BYTES = 16  # 128 bits: beyond any guessing


def new_id() -> str:
    """A link's id: 16 signs that tell nothing."""
    return _plain(secrets.token_bytes(10))


def token(link_id: str, version: int, key: str) -> str:
    """What stands in the address: the id and its proof."""
    return f"{link_id}-{_proof(link_id, version, key)}"


def split(shown: str) -> tuple[str, str]:
    """Id and proof of a token as someone typed it; capitals are forgiven, nonsense is no id."""
    link_id, _, proof = shown.strip().lower().partition("-")
    return (link_id, proof) if _ID.fullmatch(link_id) else ("", proof)


def is_proof(proof: str, link_id: str, version: int, key: str) -> bool:
    """Whether the proof is right, in a time that does not tell how much of it was."""
    expected = _proof(link_id, version, key)
    return hmac.compare_digest(proof.encode(), expected.encode())


def _proof(link_id: str, version: int, key: str) -> str:
    digest = hmac.digest(key.encode(), f"{link_id}:{version}".encode(), sha256)
    return _plain(digest[:MAC_BYTES])


def _plain(value: bytes) -> str:
    return b32encode(value).decode().rstrip("=").lower()
