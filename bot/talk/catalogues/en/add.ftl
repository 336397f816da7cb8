# Adding plants.

add-done = { $name } is on the list: { $about }.
add-no-pot = I don't know its pot, so no amounts yet. Tell me as *15 cm pot*.
add-pot-unclear = "{ $said }" doesn't make a pot for me; tell me as *15 cm pot* or *20x18x15 cm*.
add-left-over = I didn't know what to do with { $what }.
add-near = Did you mean { $near }?
add-apart = Keep it apart from the others for three weeks, then look for pests once more.
add-first-probe = I don't know this pot yet: please probe it by { $when }.
add-probe-now = Probe now
add-shallower = Pot is shallower
add-deeper = Pot is deeper
add-change = Change something
add-no-name = What shall I call it? Try: ~/add fern, Boston fern, 15 cm pot, bathroom, north window
add-name-number = "{ $said }" would be mixed up with readings. Give it a name with letters, as *Fern 2*.
add-taken = There is a { $name } already{ $room ->
    [none] {""}
   *[other] {" "}({ $room })
  }. What shall this one be called?
add-as = Add as { $name }
add-never-mind = Never mind
add-skip = Skip
add-which-species = { $name } is on the list. "{ $kind }" can be several plants; which is it?
add-which-more = Or: { $more }. ~/plant { $call } species NAME tells me.
add-ask-name = What do you call the plant?
add-ask-species = What kind of plant is { $name }? As *Boston fern*.
add-ask-pot = Which pot? As *15 cm pot* or *20x18x15 cm*; say *no hole* if it has none.
add-ask-place = Where does it stand? As *bathroom, north window*.
add-several = { $n ->
    [0] Nothing added.
    [one] Added one plant.
   *[other] Added { $n } plants.
  }
add-several-taken = Already on the list, left as they were: { $names }.
add-several-asking = { $n ->
    [one] One name can be several plants
   *[other] { $n } names can be several plants
  }: { $names }. ~/plant NAME species ... tells me which.
add-several-strange = I don't know the kind of { $names }; I'm careful with them.
add-several-potless = Without a pot, so without amounts yet: { $names }.
add-several-nameless = { $n ->
    [one] One line had no name.
   *[other] { $n } lines had no name.
  }
add-several-end = ~/plants shows them; please probe each within the next days.
add-too-many = That is more than { $most } plants at once. Please send fewer; nothing was added.
