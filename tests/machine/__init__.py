"""The machine: start, test, locks, import contracts, compose."""
