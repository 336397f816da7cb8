# The list of plants.

plants-count = { $n ->
    [one] One plant
   *[other] { $n } plants
  }{ $rooms ->
    [0] {""}
    [one] {" "}in one room
   *[other] {" "}in { $rooms } rooms
  }:
plants-room = { $room }: { $names }
plants-room-count = { $room }: { $n } plants
plants-no-room = No room told
plants-more = ~/plants { $room } shows one room, ~/plants due what is to be done.
plants-room-head = { $room }, { $n ->
    [one] one plant
   *[other] { $n } plants
  }:
plants-line = { $name }: { $state }
plants-cut = and { $n } more
plants-no-such-room = I know no room "{ $said }".{ $rooms ->
    [none] {""}
   *[other] {" "}I know { $rooms }.
  } ~/plants due shows what is to be done.
plants-none-gone = No plant has left yet.
plants-gone = { $n ->
    [one] One plant has left:
   *[other] { $n } plants have left:
  }
plants-gone-died = { $name }, died { $when }
plants-gone-given = { $name }, given away { $when }
plants-gone-sold = { $name }, sold { $when }
plants-gone-gone = { $name }, gone { $when }
plants-more-rooms = and { $n ->
    [one] one more room
   *[other] { $n } more rooms
  }
plants-none-due = Nothing is due today.
plants-soonest = Next is { $name }: { $state }.
plants-due = { $n ->
    [one] One plant wants something today:
   *[other] { $n } plants want something today:
  }
