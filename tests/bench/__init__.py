"""Tests of the bench's pages."""
