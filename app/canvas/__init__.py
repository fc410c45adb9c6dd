"""The sheets on their matte: view, scene, items, overlays."""
