"""Pictures of how pots dry: what they show as plain values, and the drawing of them."""
