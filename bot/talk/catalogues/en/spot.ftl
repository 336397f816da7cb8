# Places and light.

spot-facing-n = north
spot-facing-ne = north-east
spot-facing-e = east
spot-facing-se = south-east
spot-facing-s = south
spot-facing-sw = south-west
spot-facing-w = west
spot-facing-nw = north-west
spot-window = { $facing } window
spot-window-from = { $distance } from the { $facing } window
spot-light-low = low light
spot-light-medium = medium light
spot-light-bright = bright light
spot-light-sunny = full sun
