# Verdicts. The first line is the answer, the second is why, the third is what to do next.
# $plant is the plant's name; $reading, $line, $dry, $wet are marks from 1 (dry) to 10 (wet).

verdict-none = Not probed since it was watered.
verdict-no-probe = nothing planned
verdict-due = due for a probe { $when }
verdict-probe = probe { $when }
verdict-open-water = wants water since { $since }
verdict-open-soak-late = drier than it likes since { $since }
verdict-open-soak = wants a soak since { $since }
verdict-open-fill = wants filling since { $since }
verdict-open-dry-side = wants a little on its dry side since { $since }
verdict-open-too-wet = too wet since { $since }: look at its roots

verdict-do-water = Water today.
verdict-do-wait = Leave it for now.
verdict-do-dry-wait = Dry, but leave it.
verdict-do-dry-side = A little on the dry side only.
verdict-do-soak-late = Water it well today.
verdict-do-too-wet = No water: too wet for too long.
verdict-do-cant-tell = I can't tell from that.
verdict-do-soak = Soak it today.
verdict-do-fill = Fill it up.
verdict-do-leave = No water now.

verdict-why-ready = { $reading } { $layer } is dry enough: it waits for { $line }.
verdict-why-surface-ready = The surface is dry, and that is what counts for it.
verdict-why-rest-over = Dry right through, and it has rested long enough.
verdict-why-dry-no-wait = Dry right through, and it takes no extra rest.
verdict-why-winter-sip = Dry in a warm winter room: a sip once a month keeps it going.
verdict-why-wrinkled-dry = Wrinkled on a dry pot: it has used up its own store.
verdict-why-wick-dry = Reservoir or not, the middle is dry at { $reading }: water once from the top so that the wick works again.
verdict-why-drier-than-likes = Drier than { $plant } likes: { $reading } { $layer }.
verdict-why-slack-dry = Slack leaves on a dry pot: that is thirst.
verdict-why-dry-for-a-week = Down at 1 for { $days } already.
verdict-why-roots-silvery = Silvery roots say it has drunk all it had.
verdict-why-pot-light = A light pot says it has drunk all it had.
verdict-why-leaves-thirsty = Limp or curled leaves: it is thirsty.
verdict-why-weekly-soak = Dry, and I know of no soak in the last six days.
verdict-why-level-empty = Nothing is left for it to drink.
verdict-why-level-low = Its water is low.
verdict-why-stale-water = Water that smells is stale: pour it off and fill fresh.
verdict-why-reservoir-dry = The middle is down to { $reading }: the reservoir has been drunk.
verdict-why-above-line = { $reading } { $layer } isn't dry enough yet: it waits for { $line }.
verdict-why-surface-moist = The surface is still moist.
verdict-why-pot-heavy = A heavy pot holds water still.
verdict-why-soaked-lately = It was soaked within the week and dries within hours: no thirst yet.
verdict-why-limp-moist = Limp, but not from drought: the mix is still moist at { $reading }. Look at heat, light and roots.
verdict-why-wrinkled-moist = Wrinkled though the pot isn't dry: look at the roots before any water.
verdict-why-uneven-not-dry = Uneven, { $dry } and { $wet }, but no place is dry yet.
verdict-why-reservoir-airing = Empty for now, and so it should be for some days: roots need air between fills.
verdict-why-resting-until = It rests { $days } dry before a drink. Probe once more { $until ->
    [none] then
   *[other] { $until }
  }; if it still reads 1, water.
verdict-why-winter-rest = In a cool winter it takes no water until about March.
verdict-why-stones-calendar = Living stones take nothing in these months, however dry.
verdict-why-too-dark = It stands too dark to drink: leave it dry { $days }, and find it a brighter place.
verdict-why-uneven = Dry here ({ $dry }), wet there ({ $wet }): nothing on the wet side.
verdict-why-wet-too-long = { $reading }, { $days } after the last watering I know of. Look at drainage, air and roots: standing water, a sour smell, soft stems?
verdict-why-limp-wet = Limp on a wet pot is drowning, not thirst. Let it dry, and look at the roots.
verdict-why-smell = A sour smell or soft stems mean rot: take it out and look at the roots.
verdict-why-uneven-one-wet = Dry in one place ({ $dry }), wet in another ({ $wet }): find out why before any water. A channel, a blocked hole?
verdict-why-smell-dry = Sour or soft on a dry pot: look at the roots before any water.
verdict-why-noon-wilt = Limp and wet outdoors can be noon heat: look again in the evening.
verdict-why-dormant = It is dormant: no water until it wakes.
verdict-why-terrarium = A closed glass waters itself: open it when it fogs.
verdict-why-level-full = There is water enough.
verdict-why-standing-water = Water stands there: tip it out.
verdict-why-no-meter-in-bark = A meter reads dry in bark or moss even right after a soak.
verdict-why-no-soil = It grows in no soil, so there is nothing to probe.
verdict-why-coarse-mix = In coarse mix a meter reads dry far too soon.
verdict-why-salty-mix = Salts fool the meter here.
verdict-why-wicking = A reservoir keeps the bottom wet, so a deep reading says nothing.
verdict-why-surface-above = Above a reservoir the surface is dry first; the middle decides.
verdict-why-fresh-repot = Freshly repotted, old root ball and new mix read differently.
verdict-why-just-watered = Watered within a day and dry already: the probe sits in a channel, or the water ran past.
verdict-why-how-felt = Dry how: by finger, by a stick to the bottom, or by lifting?
verdict-why-surface-only = A dry surface says nothing of below, and below is what counts for it.
verdict-why-middle-only = The middle alone doesn't decide here.
verdict-why-sign-alone = Too dry and too wet can look the same; only the probe tells them apart.
verdict-why-nothing-found = That tells me nothing of its soil yet.
verdict-why-weight-unknown = I don't know this pot's weights yet: weigh it after a good watering, and again when it reads dry, and I'll learn both.
verdict-why-level-unknown = I need the water level: empty, low or full?

verdict-ask-how-felt = Say how you felt it, as *dry by finger* or *dry by stick*.
verdict-ask-probe = Probe as deep as you can and tell me the number.
verdict-ask-probe-middle = Probe the middle too, or feel the surface, as *4m*.
verdict-ask-middle = Probe the middle, as *4m*, or tell me the gauge: *empty*, *low* or *full*.
verdict-ask-probe-deep = Probe to the bottom too, as *6d*.
verdict-ask-lift = Lift the pot: *light* or *heavy*?
verdict-ask-roots = Look at the roots: *silvery* or *green*? Or lift it: *light*?
verdict-ask-leaves = Look at its leaves: *limp* or *curled*? If they are only dry to the touch: *dry*.
verdict-ask-level = Is it *empty*, *low* or *full*?
verdict-ask-in-leaf = By the calendar it sleeps now. If it is in leaf, tell me: ~/plant { $call } awake
verdict-ask-weigh = A pot this small is better weighed, wet and dry.

verdict-again = Probe again { $when }.
verdict-again-between = Probe again { $when } (probably ready between { $first } and { $last }).
verdict-restarted = The dry clock starts again: it read { $reading }.
verdict-why-roots-green = Green roots still hold water.
verdict-mark = { $line } or less
verdict-mark-lowest = { $line }, the lowest mark
verdict-layer-surface = at the surface
verdict-layer-middle = in the middle
verdict-layer-deep = deep
verdict-layer-whole = all through
