# Handing over: what is open, due and poisonous. Never a time to water.

handover-head = Handover{ $whom ->
    [none] {""}
   *[other] {" "}to { $whom }
  }, { $first } to { $last }: { $n ->
    [one] one plant
   *[other] { $n } plants
  }, { $due ->
    [0] none to probe.
    [one] one to probe.
   *[other] { $due } to probe.
  }
handover-open = Open now: { $what }.
handover-pouring = { $who } is pouring { $plant }
handover-pouring-you = you are pouring { $plant }
handover-saucer = the saucer of { $plant } is still to be looked at
handover-wanting = { $n ->
    [one] { $names } was read and nothing was done yet
   *[other] { $names } were read and nothing was done yet
  }
handover-moved = { $n ->
    [one] { $names } stands elsewhere because of the cold and goes back
   *[other] { $names } stand elsewhere because of the cold and go back
  }
handover-stop = { $name } ({ $when })
handover-due = now
handover-between = { $day }; { $first } to { $last }
handover-rough = { $day }, rough so far
handover-last = Last: { $deeds }.
handover-watered = { $who } watered { $plant } { $when }
handover-probed = { $who } probed { $plant } { $when }
handover-sentence = { $text }.
handover-emergency = { $name } ({ $whom })
handover-emergencies = Danger to life: { $names }. Keep them apart; after any contact call a vet or poison centre at once.
handover-poisonous = Poisonous or irritating: { $names }. Keep from pets and children; if eaten: vet or poison centre.
handover-no-promise = No plant here is promised to be safe to eat.
handover-rule = Probe first, then tell me, as *fern 3*: the reading decides about water.
handover-room = { $room }, { $n ->
    [one] one plant:
   *[other] { $n } plants:
  }
handover-room-more = And { $n } more: ~/plants { $room }
handover-no-hole = No hole in the pot: never more than I say.
handover-rain = Rain or distilled water only.
handover-how = "{ $said }" is no room, sitter or span of days that I know.{ $rooms ->
    [none] {""}
   *[other] {" "}Rooms: { $rooms }.
  } Try: ~/handover, ~/handover 1-14 June
