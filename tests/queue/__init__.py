"""Tests of the queue room."""
