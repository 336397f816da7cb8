"""What is known about plants, mixes and pots, as data files with the types they load into."""
