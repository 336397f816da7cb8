"""One module per command family: its grammar, its call of an action, its wording keys."""
