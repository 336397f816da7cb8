# Cold nights.

low-tonight = Tonight { $low }.
low-night = { $when }, at night: { $low }.
low-source = Told by { $who }, { $when }.
low-unknown = I know no low for tonight: please tell me.
low-how = As ~/low 4C, ~/low 38F tonight, ~/low -3 sat
low-nobody = No plant on the list is in danger, as far as I know where each stands.
low-in-danger = { $n ->
    [one] One plant is in danger:
   *[other] { $n } plants are in danger:
  }
low-outdoors = { $plants }: outside, and too cold. Bring in before dark.
low-glass = { $plant }, close to the glass: about { $leaf } there, it minds below { $bears }. Before dark, a metre in, or a curtain between it and the glass.
low-glass-too = The same for { $plants }.
low-assumed = I took the window to be an old double one, and the room { $room } at night.
low-draft = { $n ->
    [one] { $plants }: keep that window shut.
   *[other] { $plants }: keep those windows shut.
  }
