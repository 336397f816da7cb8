# Water given or taken away without being coached.

gave-kept = { $plant }: { $amount ->
    [none] watered
   *[other] { $amount } given
  }{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. Kept.
gave-ran-off = { $amount } of it ran off.
gave-took-fluid = I took the ounces for fluid ounces.
gave-took-us = Counted in US measures; ~/settings units changes that.
gave-took-imperial = Counted in imperial measures; ~/settings units changes that.
gave-took-metric = Counted as cups of 250 ml; ~/settings units changes that.
gave-much = That is more than half the pot ({ $half }); look for standing water.
gave-strange = I didn't understand "{ $what }", so nothing was kept. Try: ~/gave { $call } 400 ml
gave-run-off-how = How much ran off? Try: *gave fern 400 ml, 50 ml ran off*
gave-run-off-more = More ran off than went in? Please look at the amounts again; nothing was kept.
gave-under-way = A pour of { $plant } is under way. Is this part of it?
gave-part-of-it = Part of it
gave-close-it = Close the pour first
gave-drained = { $plant }: tipped out{ $amount ->
    [none] {""}
   *[other] {" "}{ $amount }
  }. Noted; that is no watering.
