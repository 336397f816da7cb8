# Adding plants.

add-done = { $name } is on the list: { $about }.
add-no-pot = No amounts yet: which pot? As *{ example-pot } pot*.
add-pot-unclear = "{ $said }" doesn't make a pot for me; tell me as *{ example-pot } pot* or *20x18x15 cm*.
add-left-over = I didn't understand { $what }; the rest is kept.
add-near = It is a { $name }
add-apart = Keep it three weeks apart from the others.
add-first-probe = Please probe it { $when }.
add-first-roots = Please look at its roots or leaves { $when }.
add-first-level = Please look at its water { $when }.
add-by = by { $when }
add-terrarium = A closed glass needs no water of ours: open it when it fogs.
add-probe-now = Probe now
add-shallower = Pot is shallower
add-deeper = Pot is deeper
add-change = Change something
add-no-name = What shall I call it? Try: ~/add fern, Boston fern, { example-pot } pot, bathroom, north window
add-name-number = "{ $said }" would be mixed up with readings. { $name }, or another name with letters?
add-number-name = Plant { $said }
add-no-letters-how = A name needs letters, so that it can be typed. Try: ~/add fern, Boston fern, { example-pot } pot, bathroom, north window
add-no-letters = A name needs letters, so that it can be typed. What shall I call it?
add-taken = There is a { $name } already{ $room ->
    [none] {""}
   *[other] {" "}({ $room })
  }. What shall this one be called?
add-as = Add as { $name }
add-never-mind = Never mind
add-skip = Skip
add-on-the-list = { $name } is on the list.
add-which = Which "{ $kind }" is it?
add-which-told = { $told }.
add-which-more = Or type { $more }.
add-is-it = Is it { $label }?
add-yes-it-is = Yes
add-no-other = No, another
add-taken-so = There is a { $name } already; { $free } would do.
add-shall-i = { $n ->
    [one] Shall I add { $first }?
   *[other] Shall I add these { $n } plants, { $first } and so on?
  }
add-yes = { $n ->
    [one] Add it
   *[other] Add all { $n }
  }
add-ask-name = What do you call the plant?
add-ask-species = What kind of plant is { $name }? As *Boston fern*.
add-ask-pot = Which pot? As *{ example-pot } pot* or *20x18x15 cm*; say *no hole* if it has none.
add-ask-place = Where does it stand? As *bathroom, north window*.
add-several = { $n ->
    [0] Nothing added.
    [one] Added one plant.
   *[other] Added { $n } plants.
  }
add-several-taken = Already on the list, left as they were: { $names }.
add-several-asking = { $n ->
    [one] One kind can be several plants
   *[other] { $n } kinds can be several plants
  }: { $names }. ~/plant NAME species tells me which.
add-several-strange = Kind not known, so I'm careful: { $names }.
add-several-potless = Without a pot, so no amounts yet: { $names }.
add-several-odd-pots = A pot that can't be: { $names }. ~/plant NAME pot { example-pot } tells me.
add-several-left-over = Not all of it understood: { $names }.
add-several-nameless = { $n ->
    [one] One line without a name in letters, left out
   *[other] { $n } lines without a name in letters, left out
  }: { $names }.
add-several-end = ~/plants shows them; please probe each within the next days.
add-too-many = That is more than { $most } plants at once. Please send fewer; nothing was added.
