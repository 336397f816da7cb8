# Figures that other sentences show, in the household's measures: { example-pot } stands in any file.

example-pot = { $measures ->
    [metric] 15 cm
   *[other] 6 in
  }
example-next-pot = { $measures ->
    [metric] 18 cm
   *[other] 7 in
  }
example-amount = { $measures ->
    [us] 2 cups
    [imperial] ¾ pint
   *[metric] 400 ml
  }
example-run-off = { $measures ->
    [metric] 50 ml
   *[other] 2 fl oz
  }
example-much = { $measures ->
    [us] 1 quart
    [imperial] 2 pints
   *[metric] 1 l
  }
example-cupful = { $measures ->
    [us] 1 cup
    [imperial] ½ pint
   *[metric] 300 ml
  }
example-part = { $measures ->
    [us] ½ cup
    [imperial] ¼ pint
   *[metric] 150 ml
  }
example-low = { $measures ->
    [us] 38F
   *[other] 4C
  }
example-frost = { $measures ->
    [us] 20
   *[other] -3
  }
example-high = { $measures ->
    [us] 95F
   *[other] 34C
  }
example-warm = { $measures ->
    [us] 65F
   *[other] 18C
  }
example-night = { $measures ->
    [us] 60F
   *[other] 16C
  }
example-weights = { $measures ->
    [us] wet 5 lb 12 oz · dry 4 lb 3 oz
   *[other] wet 2.6 kg · dry 1.9 kg
  }
example-back = { $measures ->
    [metric] a metre
   *[other] three feet
  }
example-finger = { $measures ->
    [metric] 2 to 3 cm
   *[other] about 1 in
  }
