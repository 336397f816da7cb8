"""Events, and what is derived from them; it can always be worked out anew."""
