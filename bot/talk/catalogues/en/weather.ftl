# Where a household lives, and which weather service may be told.

weather-none = No weather service is set up here, so I keep no place. Tell me of cold nights instead.
weather-how = Where do you live? I would round it to a tenth of a degree, about 11 km, and ask { $service } for that. Try: ~/settings place 52.52 13.41, ~/settings place off
weather-ask = From now on I would ask { $service } for the forecast at { $area }, every few hours. Is that well?
weather-nothing-else = It is told this square of about 11 km and this server's address; no names, no plants, nothing finer. I keep nothing finer either.
weather-yes = Yes, ask them
weather-no = No
weather-now = I ask { $service } for { $area } now.
weather-takes-over = The afternoon before a cold night or great heat I'll say what is in danger. What you tell with ~/low counts more. ~/settings place off ends it.
weather-other-zone = That is far from { $zone }, your time zone here. Right? Else: ~/settings zone Europe/Berlin
weather-other-half = Seasons here are those of the { $half }. Right? Else: ~/settings seasons { $meant }
weather-off = Nobody is told where you live any more.
weather-shown = Place: { $area }, { $other ->
    [other] told to { $service }, which isn't asked any more: say it again
   *[same] told to { $service }
  }.
weather-shown-none = Place: told to nobody.
