"""Bytes kept by their SHA-256, their renditions, and the way they are served."""
