"""Template tags shared by every room."""
