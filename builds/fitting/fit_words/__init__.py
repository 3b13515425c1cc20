"""The fit in words: what was found, what is missing, how each number is worked out."""

from builds.fitting.fit_words.findings import Said, sentence
from builds.fitting.fit_words.missing import Missing, missing
from builds.fitting.fit_words.sums import Sum, sums

__all__ = ["Missing", "Said", "Sum", "missing", "sentence", "sums"]
