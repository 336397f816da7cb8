# What a place means for a plant.

place-unknown = I don't know where { $plant } stands. Try: ~/spot { $call } kitchen, north window
place-stands = { $plant } stands here: { $where }.
place-no-light = Which window is it near? As *~/spot { $call } east window*, or *bright*.
place-fine = { $light }: good for it.
place-dim = { $light }: it will hold there, with little growth, and dry slowly.
place-too-dark = { $light }: too dark for it; it will dry slowly and rot easily.
place-too-bright = { $light }: more than it likes; move it back, or shade it.
place-left-over = I didn't understand { $what }; the rest is kept.
place-scorch = Late west sun or all-day south sun through glass scorches leaves: { example-back } back, or a thin curtain.
place-reading-test = If you can't read there at midday without a lamp, no plant can live there: add a lamp, or move it.
