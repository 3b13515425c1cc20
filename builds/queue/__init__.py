"""Promises and the reminders that follow from them."""
