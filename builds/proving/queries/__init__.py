"""Reads sheets, runs, what they found, and what is in the way of a build that is tested."""

from builds.proving.queries.proofs import Proof, proofs
from builds.proving.queries.timers import running, timers_over
from builds.proving.values import number

__all__ = ["Proof", "number", "proofs", "running", "timers_over"]
