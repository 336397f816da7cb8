# Codes: made by keepers, used once.

invite-code = Code: { $code }
invite-member = It makes one person a member of { $household }, once, until { $until }.
invite-keeper = It makes one person a keeper of { $household }, once, until { $until }.
invite-sitter = It makes one person sitter of { $household } from { $first } to { $last }, and works until { $until }.
invite-how = They send me ~/join { $code } in private; in a group of theirs without plants, it links that group.
invite-how-sitter = They send me ~/join { $code } in private.
invite-in-group = Whoever reads it here can use it.
invite-which = A member, a keeper, or a sitter with dates? Try: ~/invite, ~/invite keeper, ~/invite sitter 1 June - 14 June
invite-sitter-when = From when to when? Try: ~/invite sitter 1 June - 14 June
invite-join-how = A keeper makes a code with ~/invite; then ~/join CODE here.
invite-joined-keeper = You are a keeper of { $household } now. ~/plants shows what there is, ~/help what works.
invite-joined-member = You are a member of { $household } now. ~/plants shows what there is, ~/help what works.
invite-joined-sitter = You sit for { $household } from { $first } to { $last }. ~/handover shows then what is open and due.
invite-linked = This chat belongs to { $household } now; whoever speaks here is a member. ~/plants shows what there is.
invite-already = You belong to { $household } already. The code is unused and good for somebody else.
invite-none = That code doesn't work. A code works once, within seven days; a keeper makes another with ~/invite.
invite-too-many = Those were too many codes that didn't work. Please wait an hour, and ask a keeper for a fresh one.
invite-has-plants = The plants of this chat would be lost here, so I left it as it is; the code is still good.
invite-has-plants-how = What works: ~/join in a private chat with me, or in a group without plants; or ~/invite here, and ~/join with that code there.
invite-not-here = That code makes one person a sitter. Send it to me in a private chat; it is still good.
invite-not-keeper = Only a keeper can give this chat to another household. The code is still good.
invite-payload = I don't know what "{ $said }" stands for. A code from a keeper looks like ABCD-EFGH-JKMN.
