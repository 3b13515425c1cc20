"""Arrivals, photos, belongings, cell checks and condition notes."""
