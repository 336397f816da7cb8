# Words that every part of the conversation uses.

common-you = you
common-someone = somebody
common-no-text = I understand words and photos, nothing else so far. Tell me as *fern 3*.
common-unread = I couldn't read your last message: its key never reached me. Please send it once more.
common-passed-on = That is passed on, so I can't tell who found it when; nothing was kept. Say it yourself, with its day: *fern 3 yesterday*.
common-too-long = That is more than { $most } letters at once. Please send it in smaller parts; nothing of it was kept.
common-unknown-command = I don't know "{ $said }" as a command. ~/help shows what works.
common-unknown-command-near = I don't know "{ $said }". Did you mean ~/{ $near }?
common-outdated = That button is outdated. ~/plants or a plant's name shows how things stand now.
common-step-done = That step is done.
common-step-now = ~/pour { $call } shows where { $plant } stands.
common-which-question = Which one is that for?
common-lost = I know about your plants. Try: *fern 3*, ~/plants due, ~/help.
common-after-name = I know { $plant }, but not the rest. Try: *{ $call } { $how ->
    [level] half full
    [roots] silvery
   *[probe] 3
  }*, *{ $call } is { $how ->
    [level] empty
    [roots] light
   *[probe] dry
  }*, *gave { $call } { example-amount }*.
common-broken = Something went wrong on my side, not yours. I kept what you wrote and told the operator. Please try it in other words.
common-nothing-changed = All right, nothing changed.
common-today = today
common-tomorrow = tomorrow
common-yesterday = yesterday
common-just-now = just now
common-minutes-ago = { $n ->
    [one] a minute ago
   *[other] { $n } minutes ago
  }
common-hours-ago = { $n ->
    [one] an hour ago
   *[other] { $n } hours ago
  }
common-days-ago = { $n ->
    [one] yesterday
   *[other] { $n } days ago
  }
common-and-more = and { $n } more
common-more = { $n } more
common-gladly = Gladly.
common-good = Good.
common-unwell = { $plant }: too dry, too wet, cold and pests can all look like that; the probe tells most. Probe, then look at the roots: *{ $call } roots fine*, or *soft*.
common-leans = { $plant } grows to the light: turn it by a quarter, then tell me: ~/turn { $call }
common-misted = Mist wets leaves, not the soil, so nothing is kept. Watered it too? *gave fern { example-amount }*
common-slip = Take back your last entry? Or say what it should be, as *no, 5*.
common-for-each-asked = { $found } for each of { $names }?
common-for-each = For each
common-by-another = { $plant } watered by { $who }: kept as told by you?
common-keep-it = Keep it
common-no-calendar = I go by the soil, not by the calendar, and ask for a probe when a pot should be ready: ~/plants due, ~/round
common-it = Do you mean { $plant }?
common-take-back = Take it back
common-stands-in-water = Tip out what stands under { $plant }, or take it up with a cloth where the pot is heavy. Then tell me: ~/drained { $call }
common-choose = Which of these: { $choices }?
common-nothing-asked = Nothing is asked just now. Tell me what you found, as *fern 3*, or what you did, as *gave fern { example-amount }*.
common-not-that-asked = That is no answer to what is asked now. Under way: { $names }.
