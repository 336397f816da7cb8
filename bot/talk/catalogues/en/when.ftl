# Dates that can't be taken.

when-no-such-day = { $said } is no day I know. Try *yesterday*, *2 days ago* or *2026-03-01*.
when-future = { $said } hasn't been yet. Tell me once it has happened.
when-far = { $said } is more than two years back; I don't go that far.
