"""Fault loops: whatever breaks while something is saved, the old work or the new is there, whole."""
