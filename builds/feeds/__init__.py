"""Calendar feeds: promises and dispatch days by a secret address, for staff's own calendars."""
