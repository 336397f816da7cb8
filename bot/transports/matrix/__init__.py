"""Matrix by its client-server API: what people write in rooms, encrypted or not, and replies."""
