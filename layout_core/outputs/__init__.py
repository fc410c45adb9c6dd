"""What leaves the shop: the layout proof and the neutral drawing beneath it."""
