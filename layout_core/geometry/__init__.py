"""Questions about bare shapes: pose, outline, thickness, clearance."""
