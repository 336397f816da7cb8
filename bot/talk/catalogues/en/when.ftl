# Dates that can't be taken.

when-no-such-day = { $said } is no day I know. Try *yesterday*, *2 days ago*, *24 feb* or *2026-03-01*.
when-two-days = Is the day *{ $one }* or *{ $other }*? Write *on* before the one you mean.
when-future = { $said } hasn't been yet. Tell me once it has happened.
when-past = { $said } is over. Name a day to come, as *friday*, *in 3 days* or *14 June*.
when-too-far-ahead = { $said } is more than a year off; I don't plan that far.
when-backwards = { $said } ends before it begins, or is over. Try: *1-14 June*, *until friday*
when-far = { $said } is more than two years back; I don't go that far.
