# Finding the plant that is meant.

name-missing = Which plant? Try: { $example }
name-no-plants = I don't know any plants here yet. Add one: ~/add fern, Boston fern, { example-pot } pot, bathroom, north window
name-which = { $names }?{ $more ->
    [0] {""}
   *[other] {" "}({ $more } more fit.)
  }
name-unknown = I don't know "{ $said }". I know { $names }. ~/plants shows all.
name-elsewhere = { $names } { $n ->
    [one] has
   *[other] have
  } a plant called "{ $said }", and here is none. Go there, then say it again:
name-left-over = I know { $plant }, but not what to do with "{ $rest }". Try: { $meant }
name-near = I don't know "{ $said }". Did you mean { $names }?
name-for-which = { $said } for which plant? Write it with the name, as *{ $example } { $said }*{ $more ->
    [0] {""}
   *[other] {" "}({ $more } more on ~/plants)
  }.
name-page-or-reading = { $name }, or { $other } reading { $n }?
