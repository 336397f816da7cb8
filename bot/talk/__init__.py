"""The conversation, the same for every network: message in, replies out."""
