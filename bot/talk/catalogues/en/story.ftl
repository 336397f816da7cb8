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
story-days-none = { $by ->
    [none] { $when } nothing was told.
   *[other] { $when } nothing was told by { $by }.
  } ~/plants due shows what waits.
story-days-whose = I know { $names } here; whose?
story-no-older = { $plant } has no older entries.
