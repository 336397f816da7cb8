# What somebody else has just done.

others-watered = { $who } watered { $plant } { $ago }{ $amount ->
    [none] {""}
   *[other] {" "}({ $amount })
  }.
others-another = Is this another watering?
others-no-same = No, the same
others-yes-another = Yes, another
others-too = { $watered } *gave { $call } again* keeps yours, too.
others-yes-too = { $plant }, too
others-probed = { $who } found { $found } in { $plant } { $ago }.
others-both-kept = Both are kept.
others-pouring = { $who } is pouring { $plant } right now; ~/pour { $call } shows where it stands.
others-elsewhere = { $n ->
    [one] { $who } is pouring { $plant }; that was begun in another chat. Is this for it?
   *[other] { $n } pours are under way in other chats. Is this for one of them?
  }
