# After probing.

check-head = { $plant }: { $found }{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. { $do }
check-late = { $plant }: { $found }{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. Kept with its date; what came after counts more.
check-now = { $plant } now: { $state }.
check-how-probe = Probe { $plant } as deep as the pot allows, in two or three places. What does it read, from 1 (dry) to 10 (wet)?
check-how-roots = No meter for { $plant }: are its roots or leaves *silvery*, *green*, *limp*? Is the pot *light* or *heavy*?
check-how-level = How is the water of { $plant }: *empty*, *low*, *half* or *full*?
check-uneven-again = Uneven again: water may be running down a channel, or the light comes from one side.
check-felt-finger = By finger
check-felt-stick = By stick
check-felt-lift = By lifting
check-in-leaf = It is in leaf
check-tap-empty = Empty
check-tap-low = Low
check-tap-full = Full
check-tap-light = Light
check-tap-heavy = Heavy
check-tap-silvery = Silvery
check-tap-green = Green
check-tap-limp = Limp
check-tap-curled = Curled
check-tap-dry = Only dry
check-pour-with-me = Pour with me
check-done = I've done it
check-gave-it = Gave it
check-not-today = Not today
check-pour-one = Pour { $plant }
check-not-kept = "{ $part }" wasn't kept. { $why }
check-weight-odd = { $plant } weighs from { $dry } dry to { $wet } wet, as far as I know; { $said } is too far off. Weigh it again; for another pot: ~/repot { $call }
check-too-many = More than { $most } at once. Please send fewer; nothing was kept.
check-later = All right. { $plant } comes up again tomorrow.
check-two-ways = { $names }? A colon ends a name, as *fig 2: 3*.
check-two-ways-colon = End the name with a colon: *{ $call }: 3*.
check-many-kept = { $n ->
    [0] Nothing kept.
    [one] One check kept.
   *[other] { $n } checks kept.
  }
check-many-water = Water today ({ $n }): { $names }{ $more ->
    [0] {""}
   *[other] {" "}and { $more } more
  }.
check-many-unsure = Can't tell yet ({ $n }): { $names }{ $more ->
    [0] {""}
   *[other] {" "}and { $more } more
  }.
check-many-leave = { $n ->
    [one] One to leave for now.
   *[other] { $n } to leave for now.
  }
check-many-wetter = Wetter than before: { $names }{ $more ->
    [0] {""}
   *[other] {" "}and { $more } more
  }. Did somebody water? If so: ~/gave { $call } yesterday
check-many-unlike = { $n ->
    [one] Dries unlike itself
   *[other] Dry unlike themselves
  }: { $names }{ $more ->
    [0] {""}
   *[other] {" "}and { $more } more
  }. What to look at: ~/why { $call }
check-many-how = ~/plants due shows what is to be done.
