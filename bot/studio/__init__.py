"""Work on pictures in a process of its own: what it takes in memory, and what a file may do."""
