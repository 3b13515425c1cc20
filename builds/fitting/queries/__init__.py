"""Reads the parts, the wiring and the plan of builds: one module a topic."""
