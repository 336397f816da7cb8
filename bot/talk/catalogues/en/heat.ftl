# Great heat and scorching sun.

heat-day = { $when } { $high }.
heat-source = Told by { $who }, { $when }.
heat-forecast = By the forecast of { $service }, { $when }.
heat-unknown = I know no high for { $when }: please tell me.
heat-how = As ~/high 34C, ~/high 95F tomorrow, ~/high 31 sat
heat-nobody = No plant on the list is in danger, as far as I know where each stands.
heat-in-danger = { $n ->
    [one] Sun and heat endanger one plant:
   *[other] Sun and heat endanger { $n } plants:
  }
heat-window = { $plants }, { $facing } window: sun on { $n ->
    [one] it
   *[other] them
  } from about { $begin } to { $end }.
heat-window-do = { $measures ->
    [metric] A metre
   *[other] Three feet
  } back, or a sheer curtain before the glass.
heat-outdoors = { $plants }: outside. Into the shade before noon.
heat-no-thirst = Heat alone is no reason to water: probe first.
