"""How many of which sheet, and what that costs."""
