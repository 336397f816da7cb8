# What is told of a room: its air, its nights, its window.

room-button-one-pane = One pane
room-button-two-old = Two, old
room-button-two-new = Two, new
room-button-three = Three
room-window-one-pane = one pane
room-window-two-old = two panes, old
room-window-two-new = two panes, new
room-window-three = three panes
room-none = No plant has a room yet. Try: ~/spot fern kitchen, north window
room-unknown = No plant stands in "{ $said }". There are { $rooms }.
room-how = Try: ~/room { $room } 18C 45%, ~/room { $room } 16C at night, ~/room { $room } one pane
room-unclear = { $room }: I don't understand "{ $said }".
room-head = { $room }: { $known }.
room-known-air = { $celsius } by day
room-known-night = { $celsius } at night
room-nothing = nothing told yet
room-now = { $room }: { $known }. Kept.
room-air-moist = { $humidity } % at { $celsius }: moist air, pots dry slower. Watch for mould where it stands still.
room-air-usual = { $humidity } % at { $celsius }: pots dry about as usual.
room-air-dry = { $humidity } % at { $celsius }: dry air, pots dry faster. Plants stood together have it moister.
room-warmth = { $celsius } now. With the humidity I'd know how fast pots dry there: ~/room { $room } 18C 45%
room-no-humidity = { $said } % can't be: humidity in a room is from 1 to 100 %.
room-humidity-alone = A humidity needs its temperature: ~/room { $room } 18C 45%
room-no-temperature = { $said } can't be right for a room. I take { $least } to { $most }.
