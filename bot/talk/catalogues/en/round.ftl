# The round: what to look at today, asked for or not. Never a time to water.

round-good-morning = Good morning. { $rest }
round-head = { $n ->
    [0] Nothing to probe today.
    [1] One to probe:
    [2] Two to probe, in walking order:
    [3] Three to probe, in walking order:
    [4] Four to probe, in walking order:
    [5] Five to probe, in walking order:
    [6] Six to probe, in walking order:
   *[other] { $n } to probe, in walking order:
  }
round-head-room = { $room }, { $n ->
    [0] nothing to probe today.
    [one] one to probe:
   *[other] { $n } to probe:
  }
round-room = { $room }: { $stops }
round-room-taken = { $room } ({ $who }): { $stops }
round-all-taken = { $who } does it today.
round-no-room = Elsewhere
round-stop = { $name } ({ $why })
round-silent = Nothing heard since { $since }. To have these stop: ~/settings morning off, or ~/away until friday
round-rough = { $why }; rough so far
round-all-rough = Rough so far: a few more waterings and I know these pots.
round-why-first = { $since ->
    [none] not probed yet
   *[other] not probed yet, due since { $since }
  }
round-why-water = { $days ->
    [0] wants water, by today's reading
   *[other] wants water since { $since }, by its reading
  }
round-why-last = { $days ->
    [0] dry; last probe before water
   *[other] dry since { $since }; last probe before water
  }
round-why-since = { $days ->
    [one] due since { $since }
   *[other] due since { $since }, { $days } days now
  }
round-why-until = probably ready by { $until }
round-why-today = probably ready today
round-done = { $why }; looked at today
round-more-rooms = { $n ->
    [one] and one more room
   *[other] and { $n } more rooms
  }
round-more-stops = and { $n } more; they follow once these are answered.
round-longest = Waiting longest: { $name }, since { $since }.
round-shows = ~/round { $room } shows one room with the reasons.
round-also = Also today: { $chores }.
round-also-only = Nothing to probe today, but: { $chores }.
round-chore-scout = look for pests on { $names }
round-chore-turn = turn { $names }
round-chore-wipe = wipe { $names }
round-chore-dust = dust { $names } with a soft brush
round-chore-feed = feed { $names }, half the label's dose on moist mix
round-chore-rinse = rinse the salts out of { $names }
round-nothing = Nothing to look at today.
round-nothing-room = Nothing to look at today in { $room }.
round-next = Next is { $name }: { $state }.
round-evening = { $n ->
    [0] You meant to see to the plants this evening.
    [one] Still to look at from today: { $names }.
   *[other] Still to look at from today, { $n }: { $names }.
  }
round-evening-to = { $who }: { $rest }
round-evening-late = Tomorrow is fine too.
round-button-start = Start
round-button-evening = This evening
round-button-someone = Someone does it
round-button-tomorrow = Tomorrow
round-button-skip = Skip it
round-button-stop = Stop here
round-button-next = Next: { $name }
round-walk = { $room }, { $n ->
    [one] the last one
   *[other] { $n } to go
  }. { $ask }
round-walked = { $n ->
    [0] That was all for today.
    [one] That was all you can probe; one is read and waits for water: { $names }.
   *[other] That was all you can probe; { $n } are read and wait for water: { $names }.
  }
round-evening-then = This evening then; I'll ask at { $time }.
round-evening-none = I don't ask in the evening here; they are in tomorrow's round. ~/settings evening 19:00 changes that.
round-evening-over = The evening's { $time } is over; they are in tomorrow's round.
round-later-over = The evening's { $time } is over. { $plant } tomorrow, then.
round-tomorrow-then = All right. They are in tomorrow's round.
round-taken = { $who } does { $what } today.{ $time ->
    [none] {""}
   *[other] {" "}I'll ask at { $time } if something is left.
  }
round-taken-all = the round
round-who = Who does it?
round-who-only = There is nobody else here yet; ~/household shows who is.
round-unknown = I know no room, plant or person "{ $said }".{ $rooms ->
    [none] {""}
   *[other] {" "}Rooms: { $rooms }.
  } Try: ~/round, ~/round order kitchen, study
round-order = The order is now: { $rooms }.
round-order-how = In which order do you walk? Try: ~/round order { $rooms }
round-order-unknown = I know no room "{ $said }". I know { $rooms }.
round-later = { $plant } { $when }, then.
round-later-act = { $plant }: { $act } again { $when }, this one time.
round-later-reason = Noted: { $reason }.
round-later-not-due = { $plant } isn't due before { $when }; nothing changed.
round-later-how = { $plant } isn't put off: "{ $said }" is no day I know. Try: { $meant }, *this evening*, *in 3 days*, *14 June*
round-later-evening = { $plant } this evening, then; I'll ask at { $time }.
round-later-quiet = I don't ask in the evening here. { $plant } tomorrow, then.
round-act-scout = look for pests
round-act-turn = turn
round-act-wipe = wipe
round-act-feed = feed
round-act-rinse = rinse
round-away = Away { $first } to { $last }: I stay quiet then, unless somebody sits for the plants. What falls due meanwhile is in the round of the day after.
round-away-day = Away { $first }: I stay quiet that day, unless somebody sits for the plants.
round-away-before = Before you go: probe { $names } on the last day.
round-away-none = Nobody is away. Try: ~/away 1-14 June, ~/away until friday
round-away-is = Away: { $spans }. ~/away off takes that back.
round-away-off = Nobody is away any more.
round-away-how = I can't read "{ $said }" as days. Try: ~/away 1-14 June, ~/away until friday, ~/away off
round-away-until = until { $last }
round-away-span = { $first } to { $last }
round-day-of = the { $day }
round-chat-gone = I can't write to the household's chat any more: it is gone, or I was removed. What I say unasked comes here, until somebody writes to me there again.
