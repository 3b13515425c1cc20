"""Makes promises and reminds the shop of them."""

from builds.queue.actions.promising import FARTHEST, Refused, promise
from builds.queue.actions.reminding import bucket, chase, remind

__all__ = ["FARTHEST", "Refused", "bucket", "chase", "promise", "remind"]
