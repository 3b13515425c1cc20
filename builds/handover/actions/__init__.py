"""Changes gestures, shots, the film, booklets and returns: one function a deed, a module a topic."""
