# After probing.

check-head = { $plant }: { $found }{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. { $do }
check-late = Newer entries count more; this one is kept with its date.
check-how = Probe { $plant } as deep as the pot allows, in two or three places. What does it read, from 1 (dry) to 10 (wet)?
check-how-roots = No meter for { $plant }: are its roots *silvery*, is the pot *light*? Or tell me *empty*, *low*, *full* for its tray.
check-uneven-again = Uneven again: water may be running down a channel, or the light comes from one side.
check-felt-finger = By finger
check-felt-stick = By stick
check-felt-lift = By lifting
check-pour-with-me = Pour with me
check-done = I've done it
check-gave-it = Gave it
check-not-today = Not today
check-pour-one = Pour { $plant }
check-not-kept = "{ $part }" wasn't kept. { $why }
check-too-many = More than { $most } at once. Please send fewer; nothing was kept.
check-later = All right. { $plant } comes up again tomorrow.
