"""What we know and do; knows no chat network and no event loop."""
