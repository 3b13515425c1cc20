"""Chapters as WebVTT (W3C), which every browser's own player reads. Pure."""

from collections.abc import Sequence

_LAST_MS = 3_600_000  # the last chapter of a film of unknown length: browsers end it with the film


def webvtt(chapters: Sequence[tuple[int, str]], seconds: float | None = None) -> str:
    """A WebVTT file of chapters: begin in milliseconds and title, in the order of their begins.

    A cue ends where the next begins. Text is escaped, so that no title becomes markup or a cue.
    """
    begins = [begin for begin, _title in chapters]
    lasts = round(seconds * 1000) if seconds else 0
    ends = (
        [*begins[1:], max(lasts, begins[-1] + 1000) if lasts else begins[-1] + _LAST_MS]
        if begins
        else []
    )
    cues = [
        f"{number}\n{_stamp(begin)} --> {_stamp(end)}\n{_text(title)}\n"
        for number, ((begin, title), end) in enumerate(zip(chapters, ends, strict=True), start=1)
    ]
    return "\n".join(["WEBVTT\n", *cues])


def _stamp(ms: int) -> str:
    seconds, rest = divmod(ms, 1000)
    minutes, second = divmod(seconds, 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours:02d}:{minute:02d}:{second:02d}.{rest:03d}"


def _text(title: str) -> str:
    # One line: an empty one would end the cue. NUL is no text in WebVTT.
    line = " ".join(title.replace("\0", " ").split()) or "…"
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
