# /chart: how a pot dries, as a picture and in words.

chart-past = { $plant } since { $since }: { $probes ->
    [0] not probed yet
    [one] one probe
   *[other] { $probes } probes
  }, { $waterings ->
    [0] no watering
    [one] one watering
   *[other] { $waterings } waterings
  }.
chart-no-past = { $plant }: nothing probed or poured in the last six weeks.
chart-last = Last found at { $reading }, { $when }.
chart-coming = Ready at { $line } or less: probably between { $first } and { $last }. Probe { $when }.
chart-coming-day = Ready at { $line } or less: probably { $first }. Probe { $when }.
chart-not-probed = { $plant } is looked at, not probed, so there is no dry-down to draw. ~/story tells what happened.
chart-none-probed = Nothing here is probed, so there is no dry-down to draw.
chart-nothing = No plants yet. Begin with one: ~/add fern, Boston fern, { example-pot } pot, bathroom, north window
chart-room = { $where }, { $n ->
    [one] one pot
   *[other] { $n } pots
  }:
chart-everywhere = All rooms
chart-short = { $plant }: { $reading ->
    [none] not probed yet
   *[other] last { $reading }
  }; probe { $when }.
chart-left-out = { $n ->
    [one] One more pot is
   *[other] { $n } more pots are
  } not in the picture: name a room, as in ~/chart kitchen.
chart-left-out-here = { $n ->
    [one] One more pot is
   *[other] { $n } more pots are
  } not in the picture: name them one by one, as in ~/chart fern.
chart-surface = { $plant }: { $n ->
    [one] one probe, of the surface only.
   *[other] { $n } probes, of the surface only.
  }
chart-probe = Probe { $when }; ~/why { $call } says why.
chart-dry = dry
chart-wet = wet
chart-today = today
chart-line = Dotted line: wants water under it, at { $line } or less
chart-ready = Bar: probably ready; diamond: probe
chart-watered = watered
chart-not-drawn = The picture could not be drawn or sent just now. To try again: { $what ->
    [none] ~/chart
   *[other] ~/chart { $what }
  }
