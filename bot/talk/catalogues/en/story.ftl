# Looking back.

story-head = { $plant }, newest first:
story-line = { $when }, { $who }: { $what }
story-older = Older
story-why-none = { $plant }: nothing is planned. Tell me what you find when you probe it.
story-why-day = { $plant }: probe { $when }.
story-why-when = { $plant }: probe { $when }; probably ready between { $first } and { $last }.
story-why-learned = { $n ->
    [0] Rough so far: no dry-down of this pot is known yet.
    [one] Rough so far: one dry-down of this pot is known.
   *[other] { $n } dry-downs of this pot are known.
  }
story-no-older = { $plant } has no older entries.
