"""A file becomes one-ink shapes at true size."""
