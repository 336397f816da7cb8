# Cold nights.

low-tonight = Tonight { $low }.
low-night = { $when }, at night: { $low }.
low-source = Told by { $who }, { $when }.
low-forecast = By the forecast of { $service }, { $when }; reckoned { $scale ->
    [us] 4 or 5
   *[other] 2 or 3
  } degrees colder.
low-no-forecast = No forecast for a while, the last one { $when }: tell me tonight's low.
low-unknown = I know no low for tonight: please tell me.
low-unknown-night = I know no low for the night { $when }.
low-how = As ~/low 4C, ~/low 38F tonight, ~/low -3 sat
low-or-high = { $said }: by night or by day?
low-by-night = By night
low-by-day = By day
low-nobody = No plant on the list is in danger, as far as I know where each stands.
low-in-danger = { $n ->
    [one] One plant is in danger:
   *[other] { $n } plants are in danger:
  }
low-outdoors = { $plants }: outside, and too cold. Bring in before dark.
low-glass = { $plants }, close to the glass: about { $leaf } there, { $n ->
    [one] it minds
   *[other] they mind
  } below { $bears }.
low-glass-just = { $plants }, close to the glass: just under { $bears } there, and { $n ->
    [one] it minds
   *[other] they mind
  } that.
low-glass-do = Before dark, { example-back } in, or a curtain between { $n ->
    [one] it
   *[other] them
  } and the glass.
low-glass-too = The same for { $plants }.
low-assumed = I took an old double window and { $night } at night.{ $room ->
    [none] {""}
   *[other] {" "}Else: ~/room { $room } one pane, { example-night } at night
  }
low-assumed-window = I took an old double window.{ $room ->
    [none] {""}
   *[other] {" "}Else: ~/room { $room } one pane
  }
low-assumed-night = I took { $night } at night.{ $room ->
    [none] {""}
   *[other] {" "}Else: ~/room { $room } { example-night } at night
  }
low-ask-glazing = { $room }: how many panes has the window there? With one, { $plants } { $n ->
    [one] gets
   *[other] get
  } down to about { $leaf } tonight; with two or three { $n ->
    [one] it is
   *[other] they are
  } safe.
low-ask-curtain = { $room }: do you draw a curtain there at night, with { $plants } behind it? Shut in with the glass { $n ->
    [one] it gets
   *[other] they get
  } down to about { $leaf } tonight.
low-ask-night = { $room }: how cold does it get there at night? With the heating down { $plants } { $n ->
    [one] gets
   *[other] get
  } to about { $leaf } at the glass.
low-draft = { $n ->
    [one] { $plants }: keep that window shut.
   *[other] { $plants }: keep those windows shut.
  }
low-moved-button = Moved
low-fine-button = They're fine
low-moved = { $plants } moved. In the morning I'll say whether { $n ->
    [one] it
   *[other] they
  } can go back.
low-fine = They stay where they are, then.
low-none-to-move = Nothing on the list need be moved tonight, as far as I know.
low-moved-already = Moved already: { $plants }.
low-moved-where = Does { $plant } stand somewhere else now? ~/spot { $call } bedroom, east window
low-back = { $plants } can go back to { $n ->
    [one] its place
   *[other] their places
  }. { $low ->
    [none] If tonight is as cold, tell me: ~/low { example-low }
   *[other] Tonight { $low }.
  }
low-stay = Tonight { $low }: leave { $plants } where { $n ->
    [one] it is
   *[other] they are
  } for another night.
low-eased = Tonight { $low } after all: nothing need be done for { $plants }.
low-look = Two weeks since the cold night: look at { $plants } for dark, soaked or yellow leaves. Cold damage can show this late; take off what is spoilt and keep the mix on the dry side.
