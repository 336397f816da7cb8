# People of a household, their parts, its chats.

people-first-name = { $name }'s household
people-said-for = { $household } ·
people-head = { $household }: { $people }.
people-one = { $name }, { $role }
people-one-sitter = { $name }, sitter from { $since } to { $until }
people-role-keeper = keeper
people-role-member = member
people-role-sitter = sitter
people-chats = Chats: { $chats }.
people-chat-group = a { $network } group
people-chat-group-here = this group
people-chat-private = private with { $name }{ $network ->
    [none] {""}
   *[other] {" "}on { $network }
  }
people-chat-private-here = this one
people-chat-home = { $chat } (home)
people-network-telegram = Telegram
people-network-matrix = Matrix
people-network-terminal = terminal
people-unreached = I can't write first to { $names }: a private chat begins with a word of theirs.
people-itself = { $n ->
    [one] { $names } is a chat that speaks as itself; no person is behind it whom I could write to.
   *[other] { $names } are chats that speak as themselves; no person is behind them whom I could write to.
  } An admin of a group who turns off "Remain anonymous" speaks as themselves.
people-pouring = { $n ->
    [one] { $who } is pouring { $plants }
   *[other] { $who } are pouring { $plants }
  }; ~/pour { $call } shows where it stands.
people-how = Change: ~/invite, ~/household keeper { $name }, ~/household remove { $name }, ~/household name Birch Street, ~/household home
people-others = You belong to { $names }, too.
people-which = Whom? Here are { $names }.
people-two = Several are called that: { $names }.
people-two-one = { $name } { $n } ({ $network })
people-name-how = What shall it be called? Try: ~/household name Birch Street
people-name-long = That name has more than { $most } letters. Please make it shorter.
people-name-taken = { $name } is another of your households, or a word I use. Please take another name.
people-named = This household is called { $name } now.
people-home-now = What I say unasked comes to this chat from now on.
people-home-was = What I say unasked comes to this chat already.
people-is-keeper = { $name } is a keeper now, and may invite, change parts and send people away.
people-is-member = { $name } is a member now.
people-is-same = { $name } is that already.
people-last-keeper = { $name } is the only keeper. Make somebody else keeper first: ~/household keeper NAME
people-sitter-how = A sitter comes with dates and a code: ~/invite sitter 1 June - 14 June
people-removed = { $name } no longer belongs to { $household }. What { $name } did stays in the journal; ~/invite brings them back.
people-left = You no longer belong to { $household }. A keeper's code brings you back.
people-now-in = { $household } now: what you say here is about its plants.
people-in-already = { $household }, as before: what you say here is about its plants.
people-only-private = This chat always speaks of { $household }. In a private chat with me you choose among yours.
people-unknown = I know no household of yours called "{ $said }". Yours: { $names }.
people-new-how = What shall the new household be called? Try: ~/household new Elm Road
people-new-private = A group has one household. Found another in a private chat with me: ~/household new Elm Road
people-new-most = You belong to very many households already; leave one first with ~/household leave
people-founded = { $household } is founded, and you are its keeper. We speak of it now; ~/add adds its first plant.
people-needs-arrange = A sitter looks after the plants and leaves the list as it is. { $keepers } can change it.
people-needs-govern = Only a keeper does that. Ask { $keepers }.
people-sent-away = You no longer belong to { $household }. With a keeper's code you do again: ~/join CODE
people-not-yet = You sit for { $household } from { $since } to { $until }; until then there is nothing to do for you.
people-over = Your time at { $household } ended on { $until }. Thank you; a keeper's code gives you another.
people-elsewhere = ~/household new Elm Road begins a household of your own.
