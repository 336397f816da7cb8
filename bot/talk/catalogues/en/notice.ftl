# What a check shows beside its verdict: a watering nobody told, a pot unlike itself.

notice-unseen = Wetter than before: did somebody water { $plant } { $when }?
notice-yes = Yes
notice-no = No
notice-unseen-kept = { $plant }: somebody watered it { $when }. Kept, and I count from there.
notice-unseen-none = { $plant }: its readings miss no watering. One that you know of: ~/gave { $call } yesterday
notice-slow = { $plant } dries at { $speed ->
    [third] a third of
    [half] half
   *[less] two thirds of
  } its usual speed: about { $found } until ready, where it used to take { $usual }, season taken out.
notice-slow-look = Look first: standing water, sour smell, soft stems, a blocked hole, less light.
notice-fast = { $plant } dries { $speed ->
    [third] three times as fast as
    [half] twice as fast as
   *[less] half as fast again as
  } it used to: about { $found } until ready, where it used to take { $usual }, season taken out.
notice-fast-look = Look first: roots filling the pot, water running past a dry ball, a heater, more sun.
notice-why = Why, and what to look at: ~/why { $call }
notice-moved = It moved
notice-fine = Looked: fine
notice-soft = Looked: soft roots
notice-full = Full of roots
