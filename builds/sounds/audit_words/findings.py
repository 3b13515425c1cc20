"""The sentence of each finding, and the words for sorts and kinds of files."""

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.sounds.audit.findings import Finding
from builds.sounds.audit.naming import SORT_CODES
from shop.web.figures import pointed

t = gettext_lazy

SORTS: dict[str, Any] = {
    "hum": t("hum"), "swing": t("swing"), "clash": t("clash"), "blast": t("blast"),
    "lock": t("lock"), "thrust": t("thrust or spin"), "on": t("switching on"),
    "off": t("switching off"), "music": t("music"), "voice": t("voice"), "start": t("starting up"),
    "signal": t("signal"), "other": t("no sort of its own"),
}  # fmt: skip
KINDS: dict[str, Any] = {
    "wave": t("WAVE"), "rf64": t("WAVE for huge files"), "aiff": t("AIFF"), "flac": t("FLAC"),
    "ogg": t("Ogg"), "mp3": t("MP3"), "mp4": t("MP4"), "zip": t("an archive"),
    "picture": t("a picture"), "text": t("text"), "empty": t("nothing"),
    "other": t("something else"), "unknown": t("not known"),
}  # fmt: skip
_LEVELS: dict[int, Any] = {0: t("will not play"), 1: t("to mend"), 2: t("worth knowing")}
# Code → what it is called, and its sentence.
WORDS: dict[str, tuple[Any, Any]] = {
    # whatever board it is for
    "empty": (t("Empty"), t("There is nothing in it.")),
    "archive": (t("Archive in the set"), t("An archive inside the set is not opened. Unpack it "
                "and send its files.")),
    "no-sound": (t("No sound"), t("Its name ends in “%(ending)s”, but it is %(kind)s.")),
    "wrong-ending": (t("Wrong ending"), t("It is %(kind)s, but its name ends in “%(ending)s”.")),
    "double-ending": (t("Double ending"), t("Its name ends twice: “.%(endings)s”.")),
    "unheard": (t("Not listened to"), t("This kind of file is not read here. Have it sent as "
                "WAVE.")),
    "not-wave": (t("No WAVE header"), t("It begins like a WAVE file and goes on otherwise.")),
    "no-format": (t("No format"), t("Its header does not say what the sound is.")),
    "no-data": (t("No sound data"), t("There is a header and no sound after it.")),
    "no-samples": (t("No sound data"), t("There is a header and no sound after it.")),
    "unreadable": (t("Cannot be read"), t("What is in it could not be read as sound.")),
    "many-channels": (t("Too many channels"), t("More than eight channels are not listened to.")),
    "odd-rate": (t("Odd sample rate"), t("Its sample rate is none that sound is kept in.")),
    "damaged": (t("Damaged"), t("It could not be unpacked: the archive is damaged there.")),
    "longer": (t("Longer than it says"), t("Unpacked it is longer than the archive says. It was "
               "not kept.")),
    "gone": (t("Missing"), t("The file itself is missing. Restore it from a back-up.")),
    "gave-up": (t("Given up"), t("The reading of it broke off several times.")),
    "too-long": (t("Too long"), t("It is longer than half an hour.")),
    "truncated": (t("Cut off"), t("The header says %(stated)s bytes of sound, %(there)s are "
                  "there.")),
    "unfinished": (t("Header not finished"), t("The header does not say how long the sound is: a "
                   "recording was broken off.")),
    "riff-size": (t("Wrong length in the header"), t("The length in the header is not that of "
                  "the file.")),
    "no-padding": (t("Odd part without its zero"), t("A part of odd length is not followed by "
                   "the zero that belongs there. Some boards stumble over it.")),
    "chunk-cut": (t("Part cut off"), t("A part beside the sound reaches past the end of the "
                  "file.")),
    "many-chunks": (t("Too many parts"), t("More parts than any sound file has.")),
    "align": (t("Header contradicts itself"), t("The bytes of a sample in the header do not fit "
              "its bits and channels.")),
    "byte-rate": (t("Wrong byte rate"), t("The bytes a second in the header do not fit the rest "
                  "of it.")),
    "part-frame": (t("Odd end"), t("The sound ends within a sample.")),
    "extensible": (t("Extended header"), t("Its header is of the extended kind, which not every "
                   "board reads.")),
    "metadata": (t("Stray metadata"), t("Beside the sound it holds %(chunks)s, which some boards "
                 "stumble over.")),
    "packed": (t("Packed"), t("The sound in it is packed. Boards want plain numbers.")),
    "long": (t("Long"), t("Only the first half hour was listened to.")),
    "silent": (t("Silent"), t("There is nothing to hear in it.")),
    "clipped": (t("Clipped"), t("It stays at full scale %(times)s times, %(longest)s samples at "
                "the longest.")),
    "late": (t("Begins with silence"), t("The first %(seconds)s s are silent: it comes late.")),
    "quiet-end": (t("Ends with silence"), t("The last %(seconds)s s are silent.")),
    # against a board's wish
    "format": (t("Not the wished format"), t("It is %(kind)s; the board wants WAVE.")),
    "rate_hz": (t("Other sample rate"), t("%(here)s Hz; the board wants %(wanted)s Hz.")),
    "bits": (t("Other bits"), t("%(here)s bits; the board wants %(wanted)s.")),
    "channels": (t("Other channels"), t("Channels: %(here)s; the board wants %(wanted)s.")),
    "float": (t("Floating point"), t("Its samples are %(here)s-bit floating point; the board "
              "wants whole numbers.")),
    "long-name": (t("Long name"), t("%(here)s letters in its name; the board takes %(wanted)s.")),
    "letters": (t("Letters in the name"), t("The board takes only %(wanted)s in a name.")),
    "ending": (t("Other ending"), t("Its name ends in “%(here)s”; the board wants "
               "“%(wanted)s”.")),
    # against the others of its sort
    "louder": (t("Louder than its like"), t("%(by)s LU above the middle of its sort, %(sort)s.")),
    "softer": (t("Softer than its like"), t("%(by)s LU below the middle of its sort, %(sort)s.")),
}  # fmt: skip


def called(code: str) -> str:
    """What a finding is called."""
    return str(WORDS[code][0])


def sentence(finding: Finding) -> str:
    """A finding in one sentence."""
    figures = dict(finding.figures)
    if "kind" in figures:
        figures["kind"] = str(KINDS[figures["kind"]])
    if "sort" in figures:
        figures["sort"] = str(SORTS[figures["sort"]])
    return str(WORDS[finding.code][1]) % figures


def level(finding: Finding) -> str:
    """How much it matters."""
    return str(_LEVELS[finding.level])


def sort_choices() -> list[tuple[str, Any]]:
    """The sorts as a form offers them."""
    return [(code, SORTS[code]) for code in SORT_CODES]


def signed(number: float) -> str:
    """A level with one digit and a true minus."""
    return pointed(f"{round(number, 1) + 0.0:.1f}").replace("-", "−")


def loudness(facts: dict[str, Any]) -> str:
    """A loudness with how it was measured, where that is not as usual."""
    if facts.get("lufs") is None:
        return ""
    shown = _("%(lufs)s LUFS") % {"lufs": signed(facts["lufs"])}
    if facts.get("how") == "whole":
        return _("%(shown)s, too short to gate: over its whole length") % {"shown": shown}
    return shown
