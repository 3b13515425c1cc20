"""Tests of the dispatch room."""
