# How much water.

dose-halves = About { $amount }, in two halves.
dose-many = About { $amount }, in { $n } portions of { $most } at most.
dose-portions = About { $amount }, little by little: { $n } portions, 10 to 15 minutes apart.
dose-one-go = About { $amount }, in one go.
dose-dry-side = About { $amount }, a tenth of the pot, on the dry side.
dose-plain = About { $amount }.
dose-why-missing = Half the pot, { $half }, is for one dry right through.
dose-why-own = That is what this pot has shown it takes; half the pot would be { $half }.
dose-why-coarse = Coarse mix holds little; more only runs through.
dose-why-no-hole = No hole, so what is too much can't leave.
dose-why-weight = By its weight that is what it lacks.
dose-soak = Stand it in water for { $minutes } minutes and let it drip off; no measure needed.
dose-fill-reservoir = Fill the reservoir { $share }, no further.
dose-fill-tray = Fill the tray about { $depth } deep.
dose-fill-glass = Top up the glass with fresh water.
dose-fill-pebbles = Fill up to { $depth } of water among the pebbles.
dose-cup = Fresh water into the cup of leaves, { example-finger } deep; the mix only now and then.
dose-none = It is short of nothing: no water now.
dose-no-pot = How big is { $plant }'s pot? Without it I know no amount. As *{ example-pot } pot*, or ~/plant { $call } pot { example-pot }
dose-of = { $plant }: { $dose }
dose-by = By its last reading: { $found }.
dose-if = { $plant } at { $found }: { $dose }
dose-not-now = { $plant }: no water now. { $why }
dose-when-dry = Dry right through it would take { $amount } at most.
dose-guessed = { $plant }: about { $amount } if it is half dry, { $dry } if dry right through.
dose-probe-first = No fresh reading, so probe first: *{ $call } 3*.
dose-strange = I don't know "{ $said }" for { $plant }. A reading works: ~/dose { $meant }
dose-bare = A { $size }: at most { $amount }, half the pot, when dry right through. Half dry: about { $less }.
dose-bare-volume = It holds { $volume } of mix; in bark or cactus mix give about half of that.
dose-bare-depth = I took it to be { $depth } deep.
dose-heavy = It is heavy once wet: take water out of the saucer with a baster, don't lift it.
dose-rain = Rain or distilled water only.
dose-low-salt = Water low in salts suits it best.
dose-temperature = Water at room temperature.
dose-how = What for? Try: ~/dose fern, or ~/dose { $measures ->
    [metric] 20x18x15 cm
   *[other] 6in
  }
dose-closed = { $plant } grows in a closed glass, which waters itself: no dose. Open it when it fogs.
