# Pictures of plants.

photo-kept = { $n ->
    [one] The photo is kept with { $plant }. ~/photo { $call } shows it, ~/undo takes it back.
   *[other] { $n } photos are kept with { $plant }. ~/photo { $call } shows them, one by one.
  }
photo-will-be = { $n ->
    [one] The photo goes with { $plant }; it is still on its way. I'll say when it is kept.
   *[other] The photos go with { $plant }; they are still on their way. I'll say when they are kept.
  }
photo-which = Which plant is it?{ $more ->
    [0] {""}
   *[other] {" "}Or type its name.
  }
photo-which-typed = And whose photo is it? Say it as { $example }
photo-not-waiting = No photo waits for a name any more. Please send it again with *{ $call }* as its caption.
photo-edited = A photo stays as it was first sent. Please send the new one as a message of its own.

# Why one isn't kept, or of several sent together some or all.
photo-not = { $of ->
    [some] Not all of these photos are kept
    [all] None of these photos is kept
   *[one] The photo isn't kept
  }
photo-large = { photo-not }: a file may have { $most } MB. Sent as a photo instead of a file it is smaller.
photo-pixels = { photo-not }: more dots than I can look at. Sent as a photo instead of a file it is smaller.
photo-full = { photo-not }: your { $room } MB for photos are used up. ~/photo fern remove 3 makes room.
photo-many = { photo-not }: { $coming } others are still on their way. Please send again in a few minutes.
photo-strange = { photo-not }: I can't read this kind of file. JPEG, PNG and WebP work; sent as a photo anything does.
photo-lost = { $of ->
    [one] The photo didn't come through, so it isn't kept. Please send it
   *[other] Not all of these photos came through. Please send those that are missing
  } again{ $call ->
    [none] {"."}
   *[other] {" "}with *{ $call }* as its caption.
  }
photo-plant = { photo-not }: the plant was taken off the list meanwhile.
photo-no-plants = { photo-not }: there is no plant yet to keep it with. ~/add fern, Boston fern, { example-pot } pot

# Shown.
photo-shown = { $plant }, { $when }, by { $who }.
photo-note = “{ $note }”
photo-dated = { $n } ({ $when })
photo-others = Others: { $dates }{ $more ->
    [0] {""}
   *[other] {" "}and { $more } more
  }.
photo-older = Older
photo-newer = Newer
photo-none = No photo of { $plant } yet. Send one with *{ $call }* as its caption.
photo-none-at-all = No photos yet. Send one with a plant's name as its caption.
photo-which-one = { $n ->
    [one] There is one photo of { $plant }: ~/photo { $call }
   *[other] There are { $n } photos of { $plant }; 1 is the newest: ~/photo { $call } { $n }
  }
photo-count = { $plant } ({ $n })
photo-overview = Photos of { $plants }.
photo-overview-how = ~/photo { $call } shows the newest.
photo-remove-which = Which photo of { $plant }? The newest is 1: ~/photo { $call } remove 1
photo-removed = Removed for good: the photo of { $plant } ({ $when }).
