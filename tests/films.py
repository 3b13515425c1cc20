"""Makes what begins like a film, for tests that need no picture in it."""

from builds.demo.film import FILE

MP4 = b"\0\0\0\x18ftypisom\0\0\x02\0isomiso2"
MOV = b"\0\0\0\x14ftypqt  \0\0\x02\0qt  "
WEBM = b"\x1a\x45\xdf\xa3\x9f\x42\x86\x81\x01\x42\xf7\x81\x01\x42\x82\x84webm"
MKV = b"\x1a\x45\xdf\xa3\x9f\x42\x86\x81\x01\x42\xf7\x81\x01\x42\x82\x88matroska"


def like(head: bytes = MP4, size: int = 1000) -> bytes:
    """So many bytes that begin as a film does."""
    return (head + bytes(n % 251 for n in range(size)))[:size]


def real() -> bytes:
    """A film that plays: the demo's own."""
    return FILE.read_bytes()
