"""Job in, findings out; one module a rule."""
