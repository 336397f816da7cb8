# Kitchen measures. $count is a number with quarters, as 1½.

amount-about = { $one } (about { $other })
amount-both = { $one } ({ $other })
amount-litre = { $count } L
amount-metric-cup = { $count } { $plural ->
    [one] cup
   *[other] cups
  }
amount-metric-tablespoon = { $count } { $plural ->
    [one] tablespoon
   *[other] tablespoons
  }
amount-metric-teaspoon = { $count } { $plural ->
    [one] teaspoon
   *[other] teaspoons
  }
amount-us-teaspoon = { $count } { $plural ->
    [one] teaspoon
   *[other] teaspoons
  }
amount-us-tablespoon = { $count } { $plural ->
    [one] tablespoon
   *[other] tablespoons
  }
amount-us-cup = { $count } US { $plural ->
    [one] cup
   *[other] cups
  }
amount-us-quart = { $count } US { $plural ->
    [one] quart
   *[other] quarts
  }
amount-us-gallon = { $count } US { $plural ->
    [one] gallon
   *[other] gallons
  }
amount-imperial-fluid-ounce = { $count } imperial fl oz
amount-imperial-pint = { $count } imperial { $plural ->
    [one] pint
   *[other] pints
  }
amount-imperial-gallon = { $count } imperial { $plural ->
    [one] gallon
   *[other] gallons
  }
