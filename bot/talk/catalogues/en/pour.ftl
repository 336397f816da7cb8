# The coached pour. $amount is a volume as the household says it; $minutes a number.

pour-say-pour-first = { $plant }, first half: { $amount }, slowly, { $where }.
pour-say-pour-first-portion = { $plant }, first portion: { $amount }, slowly, { $where }.
pour-say-pour-next = { $plant }, the other half then: { $amount }.
pour-say-pour-next-portion = { $plant }, the next portion then: { $amount }.
pour-say-pour-little = { $plant }, not wet below yet: a little more, { $amount }.
pour-say-pour-all = { $plant }, all in one go: { $amount }, slowly, { $where }. There is no hole, so not a drop more.
pour-say-pour-dry-side = { $plant }: { $amount } on the dry side only, slowly. Nothing on the wet side.
pour-say-pour-cup = { $plant }: tip out what is stale, then fill the cup of leaves with fresh water { example-finger } deep.
pour-say-fill-saucer = { $plant }: fill the saucer with { $amount } of water and let the pot drink.
pour-say-fill-vessel-reservoir = { $plant }: fill the reservoir { $share }, no further. Let it stand empty 2 to 7 days before the next fill.
pour-say-fill-vessel-tray = { $plant }: fill the tray about { $depth } deep.
pour-say-fill-vessel-glass = { $plant }: top the glass up with fresh water to where it stood.
pour-say-fill-vessel-pebbles = { $plant }: fill up to { $depth } of water among the pebbles, no higher.
pour-say-stand-in-water = { $plant }: stand it in water for { $minutes } minutes, then let it drip off. No measure needed.
pour-say-wet-from-above = { $plant }: the foot finds no water. Wet it once from above: { $amount }, slowly, then leave it standing in the saucer.
pour-say-will-look = { $plant }: good. I'll be back in { $minutes } minutes.
pour-say-wait-to-sink = { $plant }: let it sink in. I'll be back in { $minutes } minutes; don't add any more yet.
pour-say-wait-longer = { $plant }: give it { $minutes } minutes more.
pour-say-ask-saucer = { $plant }: any water in the saucer?
pour-say-ask-saucer-outer = { $plant }: any water in the outer pot?
pour-say-ask-sunk = { $plant }: has the water gone in?
pour-say-ask-deep = { $plant }: probe again, deep. What does it read, 1 to 10?
pour-say-ask-drunk = { $plant }: has it drunk the saucer dry?
pour-say-ask-heavy = { $plant }: is the pot heavy now, or its surface dark?
pour-say-ask-taken-out = { $plant }: time is up. Take it out of the water and let it drip.
pour-say-all-in = { $plant } is done: { $total }.
pour-say-all-in-unmeasured = { $plant } is done.
pour-say-enough-below = Stop there: { $plant } has had enough. { $total } went in.
pour-say-enough-deep = Wet below: stop there. { $total } went into { $plant }.
pour-say-enough-drunk = { $plant } drinks no more, so it has had enough: { $total } in all. Tip the rest out.
pour-say-enough-heavy = Heavy: { $plant } has drunk. { $total } in all.
pour-say-stopped = Stopped. { $total } went into { $plant }; I've kept that.
pour-say-stopped-nothing = Stopped. No water went into { $plant }, so nothing is written down.
pour-say-blocked = { $plant }: stop there, { $total } is in. Water that won't go down means tight or blocked: look at the hole from below, then at the roots.
pour-say-tip-out-saucer = { $plant }: now look in the saucer, and tip out what stands there.
pour-say-tip-out-outer = { $plant }: now lift it out, and tip out what stands in the outer pot.
pour-say-tip-out-heavy = { $plant }: now take what stands in the saucer out with a baster or a towel; don't lift it.
pour-say-tip-out-no-hole = { $plant }: now tip the pot a little, or look down a tube. Water standing at the bottom comes out.
pour-say-tidy = Good. { $plant } is done.
pour-say-gave-up = Nobody told me more about { $plant }, so I've kept { $total } and closed the pour.
pour-say-gave-up-nothing = Nobody told me more about { $plant }, so I've closed the pour. Nothing was written down.
pour-say-nothing-due = { $plant } is short of nothing: no water now.

pour-caution-stop-at-run-off = Stop if you see water in the saucer.
pour-caution-run-off-no-sign = Water below is no sign of enough here: it runs past a dry mix.
pour-caution-ran-through = It ran past: the mix has dried out, or roots fill the pot. Little by little works.
pour-caution-still-light = If the pot is still light, stand it in water for half an hour.
pour-caution-no-second = Nothing more before a new probe.
pour-caution-look-at-floor = In an hour, tip the pot a little or look down a tube for standing water.
pour-caution-baster = It is heavy now: take the water out with a baster or a towel, don't lift it.
pour-caution-lift-out = Lift it out of the outer pot, or look for water standing in there.
pour-caution-take-out = Don't leave it standing in water.

pour-saucer-soon = In half an hour tip out whatever stands in the saucer.
pour-next-probe = Next probe { $when }.
pour-next-look = Next look { $when }.

pour-where-stems = close around the stems
pour-where-rim = on the soil at the rim, crown kept dry
pour-where-cup = into the cup
pour-where-tray = into the tray
pour-where-all-over = all over

pour-share-1 = to the top
pour-share-half = to half
pour-share-quarter = to a quarter

pour-choice-poured = Poured
pour-choice-stands = Stands on top
pour-choice-through = Ran straight through
pour-choice-stopped = Stopped early
pour-choice-none = No, none
pour-choice-water = Yes
pour-choice-sank = It sank in at once
pour-choice-drunk = Yes, dry
pour-choice-standing = No, still standing
pour-choice-heavy = Heavy now
pour-choice-light = Still light
pour-choice-emptied = Emptied
pour-choice-sunk-yes = Yes, sunk in
pour-choice-sunk-no = No, still on top
pour-choice-empty-none = Nothing in it
pour-choice-set-in = It stands in water
pour-choice-filled = Filled
pour-choice-taken-out = Taken out

pour-recent = Pour again?
pour-yes-more = Yes, more
pour-no = No
pour-open = { $who } began to pour { $plant } { $ago }{ $total ->
    [none] ; nothing is in yet.
   *[other] ; { $total } so far.
  } You can go on from here.
pour-begun-none = No pour of { $plant } is under way. ~/pour { $call } begins one.
pour-no-reading = I have no fresh reading of { $plant }. Probe first: ~/check { $call } 3 tells me what you find.
pour-last-said = { $plant } { $when }: { $reading }. { $verdict }
pour-still-anyway = Pour anyway?
pour-anyway = Pour anyway
pour-probe-first = I'll probe first
pour-not-asked-now = That isn't asked right now.
pour-nothing-new = Nothing new is kept.
pour-out-of-range = A reading lies between 1 (dry) and 10 (wet), an amount above nothing.
pour-resting = Let it rest: I'll be back in { $minutes ->
    [one] a minute
   *[other] { $minutes } minutes
  }.
pour-raced = Somebody else moved this pour on just now. ~/pour { $call } shows where it stands.
pour-word-unknown = I didn't understand "{ $said }". Right now I can take { $choices }. ~/pour { $call } cancel closes it.
pour-closed = Closed. { $total } of water kept for { $plant }.
pour-closed-nothing = Closed. No water went into { $plant }.
pour-which-way = I can coach { $plant } from the top, bottom, with a meter or by soaking: ~/pour { $call } bottom.
pour-rough = I counted half of the last portion; ~/fix { $call } { example-part } puts the whole right.
pour-not-that-way = This pot can't take it that way; this is how it can.
pour-or-gave = Has { $plant } had that already, or shall we pour?
pour-i-gave = I gave { $amount }
