"""The trade of glow-transfer sheets without a window: art, pieces, sheets, checks, packing, proof.

Frame of every sheet: origin top left, x to the right, y down, positive turns clockwise as seen.
Lengths are millimetres and say so in their names.
"""
