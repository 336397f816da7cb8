# First contact and help.

help-welcome = Good to meet you, { $name }. I help to water potted plants by the soil, not by the calendar.
help-first-plant = Begin with one plant: ~/add fern, Boston fern, { example-pot } pot, bathroom, north window
help-place = I took time zone { $zone }, measures { $units }. Is that right? Else tell me, as *London* or *Chicago, cups*.
help-place-known = Time zone { $zone }, measures { $units }; ~/settings changes that.
help-place-right = That's right
help-units-metric = Millilitres
help-units-us = US cups
help-units-imperial = Imperial pints
help-place-kept = Time zone { $zone }: it is { $time } there.
help-units-kept = Measures { $units }: { $example }. ~/settings changes both.
help-place-unknown = I don't know "{ $said }" as a time zone. Please name a large city that keeps the same time, as *Berlin* or *New York*.
help-welcome-back = Good to see you, { $name }. { $n ->
    [one] One plant is
   *[other] { $n } plants are
  } on the list. ~/plants shows them, ~/help what works.
help-day = A day with me: ~/round what to look at · *fern 3* after probing · ~/pour fern step by step · ~/dose 6in how much · *gave fern { example-amount }* · ~/undo takes back. More: ~/help all
help-probe = Push the probe as deep as the pot allows, in two or three places; tell me what it reads, from 1 (dry) to 10 (wet): *fern 3 4*
help-probe-words = Without a probe, a stick or a finger: *fern dry by finger*, *fern moist by stick*.
help-quiet = I speak unasked less: ~/settings morning off ends the round, ~/settings evening off its reminder; quiet hours: ~/settings quiet 21-7
help-invite = ~/invite gives a code that lets one person in, ~/invite sitter 1-14 June one for those days only.
help-privacy = I keep what you tell of your plants, who told it and when, by the name you have here; photos without the place and moment in them.
help-privacy-who = { $household } sees it, no other household; so can whoever runs me.
help-privacy-gone = ~/export gives a keeper all of it as a file, ~/forget me takes you out, ~/forget household all of it.
help-all =
    Plants: ~/add, ~/plants (kitchen, due, gone), ~/plant fern (rename, copy, retire, species, pot, mix)
    Soil: ~/check fern 3 4, *4m 6d* for middle and deep, *fern dry by finger*, *fern 1.84 kg*; several: ~/check fern 3, fig 1 2 1; not today: ~/later fern friday, ~/skip fern
    Today: ~/round (kitchen, start, evening, Tom kitchen, order kitchen, study), ~/away 1-14 June
    Water: ~/dose fern, ~/pour fern (or bottom, meter, soak), ~/gave fern { example-amount }, *watered fern and fig*, ~/drained fern
    Weather: ~/low { example-low }, ~/low { example-frost } sat for a night, ~/high { example-high } tomorrow; ~/settings place 52.5 13.4 for a forecast
    Rooms: ~/room kitchen { example-warm } 45%, *{ example-night } at night*, *one pane*; ~/sensor new kitchen
    Upkeep: ~/spot fern north window, ~/turn, ~/wipe, ~/feed, ~/scout, ~/rinse, ~/repot fern { example-next-pot } pot
    Looking back: ~/story fern (today, last week), ~/photo fern (2, remove 2), ~/chart fern (or a room), ~/why fern, ~/looked fern fine, ~/poison fern
    Slips: ~/undo, ~/fix 4, ~/fix fern, ~/cancel
    House: ~/start, ~/household, ~/invite, ~/join CODE, ~/handover (kitchen, 1-14 June), ~/settings, ~/export, ~/forget (household, me), ~/help privacy. Dates: *yesterday*, *2 days ago*, *24 feb*, *2026-03-01*
help-elsewhere = Plants you have with me already can be here too: ~/invite there, then ~/join and its code here.
help-in-group = In this group I hear commands, replies to me and messages that begin or end with my name; everything else stays among you: privacy mode keeps it from me, and as an admin I drop it unread.
