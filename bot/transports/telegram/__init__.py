"""Telegram by its Bot API: what people write there as messages, and replies as it shows them."""
