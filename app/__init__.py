"""Duskwright's window and commands; all geometry lives in layout_core."""
