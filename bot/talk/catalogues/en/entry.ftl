# Journal entries in a few words.

entry-about = { $name } { $what }
entry-poured = { $amount ->
    [none] watered
   *[other] { $amount } given
  }
entry-unseen = somebody watered
entry-looked-moved = it moved
entry-looked-fine = looked, fine
entry-looked-soft = looked, soft roots
entry-looked-full = looked, full of roots
entry-drained = { $amount ->
    [none] saucer tipped out
   *[other] { $amount } tipped out
  }
entry-turn = turned
entry-wipe = wiped
entry-feed = fed
entry-scout = looked over{ $note ->
    [none] {""}
   *[other] {": "}{ $note }
  }
entry-pictured = photo{ $note ->
    [none] {""}
   *[other] {": "}{ $note }
  }
entry-low = low of { $low } outside
entry-high = high of { $high } outside
entry-aired = { $room } { $celsius }{ $humidity ->
    [none] {""}
   *[other] , { $humidity } %
  }
entry-moved = moved ({ $where })
entry-repotted = repotted{ $pot ->
    [none] {""}
   *[other] {" "}({ $pot })
  }
entry-renamed = renamed { $name }
entry-kind = { $kind ->
    [none] kind told
   *[other] kind told: { $kind }
  }
entry-pot = pot told: { $pot }
entry-resting = resting
entry-awake = awake
entry-left-died = died
entry-left-given = given away
entry-left-sold = sold
entry-left-gone = gone
entry-described = details told
entry-arrived = added
entry-other = told
entry-postponed = { $act ->
    [none] put off
   *[other] { $act } put off
  }{ $reason ->
    [none] {""}
   *[other] : { $reason }
  }
entry-level-empty = empty
entry-level-low = low
entry-level-full = full
entry-sign-limp = limp
entry-sign-wrinkled = wrinkled
entry-sign-silvery = roots silvery
entry-sign-green = roots green
entry-sign-smell = soft or smelling
entry-word-bone-dry = bone dry
entry-word-dry = dry
entry-word-barely-moist = barely moist
entry-word-moist = moist
entry-word-wet = wet
entry-word-soggy = soggy
entry-by-finger = { $word } by finger
entry-by-stick = { $word } by stick
entry-by-lift = { $word } by lifting
entry-by-scale = { $word } by weight
entry-layer-surface = surface
entry-layer-middle = middle
entry-layer-deep = deep
entry-layer-whole = whole pot
