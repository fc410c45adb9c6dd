"""Left and right panels, one widget a file."""
