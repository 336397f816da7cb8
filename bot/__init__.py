"""How people reach it: conversation, transports, duties."""
