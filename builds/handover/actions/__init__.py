"""Changes gestures, shots, the film, booklets and returns: a module a topic, a function a deed."""
