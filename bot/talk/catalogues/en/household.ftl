# The household: its ways and its people.

household-units = Measures: { $units }.
household-units-metric = metric
household-units-us = US
household-units-imperial = imperial
household-units-go-together = What I say goes together. US: cups, inches, °F; imperial: pints, inches, °C; metric: ml, cm, °C. Which shall it be?
household-units-as-typed = What you type may be any of it: *6 in pot*, *68F*.
household-zone = Time zone: { $zone }.
household-seasons = Seasons: { $half }.
household-half-north = northern half of the world
household-half-south = southern half of the world
household-half-tropics = tropics, growing all year
household-change = Change with ~/settings units us, ~/settings zone Europe/Berlin, ~/settings seasons south
household-which-units = Which measures do you use?
household-units-now = Measures are { $units } now: { $example }.
household-unknown-setting = I know no setting "{ $said }". There are units, zone, seasons, place, morning, evening and quiet.
household-unknown-zone = { $said ->
    [none] Which time zone?
   *[other] I don't know the time zone "{ $said }".
  } Try: ~/settings zone Europe/Berlin
household-zone-near = Did you mean { $zone }?
household-zone-now = Time zone is { $zone } now; it is { $time } there.
household-which-half = North, south or tropics? Try: ~/settings seasons south
