# Where the next probe comes from.

why-none = { $plant }: nothing is planned. Tell me what you find when you probe it.
why-since = { $plant }: due for a probe since { $since }.
why-day = { $plant }: probe { $when }.
why-range = { $plant }: probe { $when }; probably ready between { $first } and { $last }.
why-watered = Last watered { $when }. { $n ->
    [0] How long until it is ready isn't seen yet; by pot, mix and light about { $usual }.
    [one] It took { $once } until ready; now I expect about { $usual }.
   *[other] It took { $shortest } to { $longest } days until ready; now I expect about { $usual }.
  }
why-unwatered = I know of no watering yet; by pot, mix and light it takes about { $usual } until ready.
why-pace = { $much ->
    [none] The season neither slows nor speeds it now.
   *[other] Season and air make it { $much } % { $way ->
        [slower] slower
       *[faster] faster
      } now than on average.
  }{ $rooms ->
    [none] {""}
    [slower] {" "}All your pots dry slower than usual lately.
   *[faster] {" "}All your pots dry faster than usual lately.
  }
why-rough = Rough so far: { $n ->
    [one] one more watering
   *[other] two more waterings
  } and I'll know this pot.
why-known = I know this pot from { $n } dry-downs.
