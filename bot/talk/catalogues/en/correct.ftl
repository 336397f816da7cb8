# Taking back and correcting.

correct-nothing = You have told me nothing that could be taken back.
correct-undone = Taken back: { $what }.
correct-undone-fix =
    Taken back: { $what }. As before the correction: { $again }.
    Another ~/undo takes that back too.
correct-next = The newest now is by { $who }: { $what }. Only they can take that back.
correct-next-mine = Another ~/undo takes back yours: { $what }.
correct-next-none = Nothing else is written down.
correct-built-on = { $plant } has newer entries, so its arrival stays. ~/plant { $call } retire takes it off the list.
correct-name-taken = There is another { $plant } by now, so this one can't come back under that name. Rename the other first.
correct-fix-how = Your last entry: { $what }. Say what it should have been, as ~/fix 4, ~/fix { example-cupful }, ~/fix fern, ~/fix yesterday.
correct-nothing-told = You have told me nothing that could be corrected.
correct-nothing-to-fix = Your last entry is no reading and no watering. ~/undo takes it back.
correct-fix-which = Your last message told several: { $what }. Name the one: ~/fix fern 4
correct-fixed = Corrected. { $what }
correct-edit-kept = Kept as it was: { $what }. To change it: ~/fix, or ~/undo.
correct-is-reading = Your last entry is a reading ({ $what }), so an amount can't correct it.
correct-gave-too = Gave { $amount } too
correct-is-watering = Your last entry is a watering, so an amount corrects it: ~/fix { $call } { example-cupful }
correct-pour-open = A pour of { $plant } is under way{ $amount ->
    [none] , nothing in yet
   *[other] , { $amount } so far
  }; none of it is written down yet.
correct-close-pour = Close the pour
correct-take-back = Take back { $what }
correct-go-on = Go on pouring
correct-edit-elsewhere = That was told for another household, so it stays as it was, and nothing was told here. ~/undo there takes it back.
