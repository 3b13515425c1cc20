"""What is found of sound files, and why an archive is not taken, in words."""
