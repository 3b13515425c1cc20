"""Proof that a build works: sheets, readings, re-tests, burn-in and rest."""
