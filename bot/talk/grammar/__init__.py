"""The small grammar of what people type: numbers, units, quantities, pots."""
