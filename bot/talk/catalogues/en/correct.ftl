# Taking back and correcting.

correct-nothing = You have told me nothing that could be taken back.
correct-undone = Taken back: { $what }.
correct-next = Next would be { $who }: { $what }. Only they can take it back.
correct-next-mine = Your entry before that: { $what }.
correct-next-none = Nothing else is written down.
correct-built-on = { $plant } has newer entries, so its arrival stays. ~/plant { $call } retire takes it off the list.
correct-name-taken = There is another { $plant } by now, so this one can't come back under that name. Rename the other first.
correct-fix-how = What should it have been? Try: ~/fix fern 4, or ~/fix 300 ml
correct-nothing-to-fix = Your last entry is no reading and no watering. ~/undo takes it back.
correct-fix-which = Your last entry was about several plants. Name the one: ~/fix fern 4
correct-fixed = Corrected.
correct-not-fixed = Not corrected; your entry stands as it was.
correct-edit-kept = Kept as it was: { $what }. To change it: ~/fix, or ~/undo.
