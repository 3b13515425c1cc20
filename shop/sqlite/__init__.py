"""SQLite as Django speaks it, with a turn for each transaction that writes."""
