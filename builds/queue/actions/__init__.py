"""Makes promises and reminds the shop of them."""

from builds.queue.actions.promising import FARTHEST, Refused, promise, promise_with
from builds.queue.actions.reminding import bucket, chase, remind

__all__ = ["FARTHEST", "Refused", "bucket", "chase", "promise", "promise_with", "remind"]
