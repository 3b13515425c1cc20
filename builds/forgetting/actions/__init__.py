"""The deeds of forgetting: erase, erase again after a restore, let names go when years are over."""
