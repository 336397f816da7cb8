"""The terminal as a chat network: the third transport and the embedded default."""
