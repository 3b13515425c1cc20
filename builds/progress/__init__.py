"""Builds, their states, moves, holds, trays and places."""
