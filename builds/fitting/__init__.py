"""Parts in a build, its wiring, whether they fit and what the cell can feed."""
