# A household that is deleted for good.

forget-how = ~/forget household deletes all that was told of { $household }; first I say what that is and ask.
forget-how-me = ~/forget me takes your name, accounts, words and photos out of it.
forget-how-else = One entry: ~/undo. A picture: ~/photo fern remove 2. To take it along first: ~/export
forget-asked = Delete { $household } for good? Nobody can bring it back.
forget-goes = These go: { $things }.
forget-plants = { $n ->
    [one] one plant
   *[other] { $n } plants
  }
forget-entries = { $n ->
    [one] one entry of the journal
   *[other] { $n } entries of the journal
  }
forget-photos = { $n ->
    [one] one photo
   *[other] { $n } photos
  }
forget-sensors = { $n ->
    [one] the address of one sensor
   *[other] the addresses of { $n } sensors
  }
forget-place = your place
forget-rest = settings, codes and what we said to each other
forget-people = { $n ->
    [one] { $names } loses it
   *[other] { $names } lose it
  } as well.
forget-chats = { $n ->
    [one] One other chat is
   *[other] { $n } other chats are
  } told.
forget-sure = If you are sure, send ~/forget household { $word } today. Else leave it.
forget-not-the-word = Nothing is deleted: "{ $said }" isn't the word. ~/forget household says what would go, and the word.
forget-done = { $household } is deleted, with its plants, journal and photos.
forget-left = What stands in your chats stays there till you delete it; copies that the operator keeps grow old and go.
forget-anew = Your next word begins anew.
forget-now-in = { $household } now: what you say here is about its plants.
forget-told = { $by } has deleted { $household }, with its plants, journal and photos. Your next word here begins anew.
forget-told-private = { $by } has deleted { $household }, with its plants, journal and photos.
forget-me-asked = Shall I forget you, { $name }? Nobody can undo it.
forget-me-goes = Your name, your accounts, what you wrote to me{ $n ->
    [0] {""}
    [one] , one photo
   *[other] , { $n } photos
  } and your codes go.
forget-me-stays = What you did in { $households } stays as somebody's.
forget-me-alone = { $households }, where nobody else is, { $n ->
    [one] is
   *[other] are
  } deleted.
forget-me-sure = If you are sure, send ~/forget me { $word } today. Else leave it.
forget-me-keeper = You are the only keeper of { $households }, and others are there. Make one of them keeper first: ~/household keeper NAME. Or delete it: ~/forget household
forget-me-private = You belong to other households, too. Please ask me in a private chat: ~/forget me
forget-me-not-the-word = Nobody is forgotten: "{ $said }" isn't the word. ~/forget me says what would go, and the word.
forget-me-done = You are forgotten; what you did stays as somebody's.
