"""Chat networks: each turns its events into messages and shows replies."""
