"""Matrix by its client-server API: what people write in its rooms, encrypted or not, and replies."""
