"""What a file is by its first bytes, whatever its name says."""

HEAD = 16  # bytes that tell

# Kind → endings that say so; the first is the usual one.
ENDINGS = {
    "wave": ("wav", "wave"),
    "rf64": ("wav", "rf64"),
    "aiff": ("aif", "aiff", "aifc"),
    "flac": ("flac",),
    "ogg": ("ogg", "oga", "opus"),
    "mp3": ("mp3",),
    "mp4": ("m4a", "mp4", "aac"),
}
SOUNDS = frozenset(ENDINGS)  # what holds sound, read here or not
READ = SOUNDS - {"mp4"}  # what is listened to
_MAGIC = (
    (b"RF64", "rf64"), (b"fLaC", "flac"), (b"OggS", "ogg"), (b"ID3", "mp3"),
    (b"PK\x03\x04", "zip"), (b"PK\x05\x06", "zip"), (b"Rar!", "zip"), (b"7z\xbc\xaf", "zip"),
    (b"\x1f\x8b", "zip"), (b"\x89PNG", "picture"), (b"\xff\xd8\xff", "picture"),
    (b"GIF8", "picture"), (b"%PDF", "text"),
)  # fmt: skip
SOUND_ENDINGS = frozenset(each for endings in ENDINGS.values() for each in endings)


def kind_of(head: bytes) -> str:
    """A word for what begins with these bytes: "wave", "mp3", "zip" …, "text" or "other"."""
    if not head:
        return "empty"
    if head.startswith(b"RIFF"):
        return "wave" if head[8:12] in (b"WAVE", b"") else "other"
    if head.startswith(b"FORM"):
        return "aiff" if head[8:12] in (b"AIFF", b"AIFC") else "other"
    if head[4:8] == b"ftyp":
        return "mp4"
    for magic, kind in _MAGIC:
        if head.startswith(magic):
            return kind
    return _by_its_bits(head)


def _by_its_bits(head: bytes) -> str:
    """MPEG audio has no word at its head: eleven bits, then version and layer."""
    if len(head) > 2 and head[0] == 0xFF and head[1] & 0xE0 == 0xE0:
        is_sound = head[1] & 0x18 != 0x08 and head[1] & 0x06 != 0 and head[2] & 0xF0 != 0xF0
        return "mp3" if is_sound else "other"
    is_plain = all(byte >= 0x20 or byte in b"\t\r\n" for byte in head)
    return "text" if is_plain else "other"
