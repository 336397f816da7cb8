# Looking back.

story-head = { $plant }, newest first:
story-line = { $when }, { $who }: { $what }
story-older = Older
story-days = { $when }{ $who ->
    [none] {""}
   *[other] , { $who }
  }:
story-days-line = { $plant }: { $what }
story-days-by = { $what } ({ $who })
story-days-before = { $n } before
story-days-span = { $first } to { $last }
story-days-house = House
story-days-more = { $n } more
story-days-none = { $when } nothing was told. ~/plants due shows what waits.
story-no-older = { $plant } has no older entries.
