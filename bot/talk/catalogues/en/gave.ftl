# Water given or taken away without being coached.

gave-kept = { $plant }: { $amount ->
    [none] watered
    [sip] a sip given
   *[other] { $amount } given
  }{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. Kept.
gave-ran-off = { $amount } of it ran off.
gave-took-fluid = I took the ounces for fluid ounces.
gave-took-us = Taken as US measures; ~/settings units changes that.
gave-took-imperial = Taken as imperial measures; ~/settings units changes that.
gave-took-metric = I took a cup for 250 ml; ~/settings units changes that.
gave-much = More than half the pot, { $half }: look for standing water.
gave-strange = I didn't understand "{ $what }", so nothing was kept. Try: ~/gave { $call } { example-amount }
gave-run-off-how = How much ran off? Try: *gave fern { example-amount }, { example-run-off } ran off*
gave-run-off-more = More ran off than went in? Please look at the amounts again; nothing was kept.
gave-under-way = { $who ->
    [none] A pour of { $plant } is under way.
   *[other] { $who } is pouring { $plant } right now.
  } Is this part of it?
gave-part-of-it = Part of it
gave-besides = Besides it
gave-drained = { $plant }: tipped out{ $amount ->
    [none] {""}
   *[other] {" "}{ $amount }
  }. Noted; that is no watering.
gave-as-said = { $amount } ({ $said })
gave-next-saucer = Tip out the saucer in half an hour. Next probe { $when }.
gave-unit = { $n } of what, for { $plant }?
gave-cannot-be = { $amount } for { $plant }, whose pot holds { $pot }? Nothing kept yet.
gave-keep-it = Keep it
gave-strange-short = I don't know "{ $what }". Try: *gave { $call } { example-amount }*
gave-under-way-short = A pour is under way: ~/pour { $call }
gave-many-kept = Watered: { $names }{ $more ->
    [0] {""}
   *[other] {" "}and { $more } more
  }. Kept.
gave-many-none = Nothing kept.
gave-many-saucers = Tip out the saucers in half an hour. A probe in a few days tells what it did.
gave-all-sure = { $n ->
    [one] { $only } watered?
   *[other] All { $n } plants{ $room ->
        [none] {""}
       *[other] {" in "}{ $room }
      } watered?
  } Or name them: *gave fern { example-amount }, fig { example-much }*
gave-all-yes = { $n ->
    [one] Yes, it
   *[other] Yes, all { $n }
  }
