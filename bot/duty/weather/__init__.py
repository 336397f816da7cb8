"""Weather services: what to ask each, how to read its answers, and the asking itself."""
