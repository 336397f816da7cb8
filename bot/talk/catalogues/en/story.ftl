# Looking back.

story-head = { $plant }, newest first:
story-line = { $when }, { $who }: { $what }
story-older = Older
story-no-older = { $plant } has no older entries.
