# Turning, wiping, feeding, scouting, repotting.

tend-turn = { $plant }: turned{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. Noted.
tend-wipe = { $plant }: wiped{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. Noted.
tend-feed = { $plant }: fed{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. Noted.
tend-scout = { $plant }: looked over{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. Noted.
tend-rinse = { $plant }: rinsed{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. Noted.
tend-rinse-how = Let it drain well and tip out the saucer. It counts as no watering; tell that as ~/gave.
tend-bud = While it is in bud, let it stand as it is: turning makes the buds drop.
tend-leaf-hairy = Its leaves are hairy: a soft dry brush, never a wet cloth.
tend-leaf-waxy = Its leaves carry a bloom of wax: blow the dust off, don't wipe.
tend-feed-season = { $plant } isn't growing now; better no more feed until it is.
tend-feed-dry = It was dry: water first next time, feed on moist mix only, or the roots burn.
tend-feed-repotted = Fresh mix feeds by itself: wait four to eight weeks after a repot.
tend-feed-label = The label's dose is the most; half of it does indoors.
tend-scout-clean = Under the leaves and in the axils is where they start; look again in a week or two.
tend-scout-found = Keep it apart and look at its neighbours. Whatever you use, follow the label; test it on a leaf first.
tend-repot-advice = Pour on the old root ball for some weeks, and no feed for four to eight. What I knew of how it dries is set aside.
tend-repotted = { $plant }: repotted{ $what ->
    [none] {""}
   *[other] {", "}{ $what }
  }{ $when ->
    [none] {""}
   *[other] {", "}{ $when }
  }. Noted.
