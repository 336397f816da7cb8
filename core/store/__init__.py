"""Engine, tables and the small modules over them."""
