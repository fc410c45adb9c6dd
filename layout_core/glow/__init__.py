"""Light and the eye: how a glow print fades, and what of it is seen from how far."""
