"""Pure arithmetic and rules of plant care; no I/O, no clock, no database."""
