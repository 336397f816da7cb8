# What a household takes along.

export-here = All that { $household } told: { $things }, with who told it and when; people, settings, rounds. One JSON object a line.
export-without = { $n ->
    [0] Not in it
   *[other] Photos are named only; not in it
  }: codes, addresses, what we said word by word. Whoever has the file can read it.
export-private = That file is for a keeper alone: please ask me for it in a private chat.
export-not-made = The file could not be made or sent just now; a very long journal is too large for a chat. To try again: ~/export
