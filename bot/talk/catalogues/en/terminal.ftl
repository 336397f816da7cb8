# What the terminal says itself: its lines that begin with a colon, the demo, a person's first prompt.

terminal-directives = Lines that begin with a colon are for the terminal. I know { $known }.
terminal-wait-how = How long? Try :wait 8d, :wait 10m or :wait until 07:30.
terminal-wait-clock = The day ends at 23:59. Try :wait until 07:30.
terminal-wait-too-long = That is too long to wait at once. Try :wait 365d.
terminal-wait-real = The clock is the real one here. Begin with --start 2026-03-02T07:30 to move it with :wait.
terminal-as-how = Who speaks? Try :as Tom, with a name of at most { $most } letters.
terminal-room-how = Which room? Try :room studio, or :room main, with a name of at most { $most } letters.
terminal-room-direct = Private chats are opened with :dm, for whoever speaks.
terminal-dm-how = :dm opens the private chat of { $name }, who is speaking. For somebody else's say :as and the name first.
terminal-tap-none = No message in this chat has buttons yet.
terminal-tap-how = { $n ->
    [one] The latest message with buttons has one: { $labels }. Try :tap 1.
   *[other] The latest message with buttons has { $n }: { $labels }. Try :tap 1.
  }
terminal-reply-how = Which line's answer, and what do you say to it? Try :reply 2 6 7. Lines count from 1.
terminal-reply-none = Line { $n } has no answer, so there is nothing to reply to.
terminal-edit-how = Which line, and what should it say? Try :edit 2 fern 4. Lines count from 1.
terminal-edit-none = Line { $n } wasn't a message, so there is nothing to edit.
terminal-edit-tap = Line { $n } pressed a button; that can't be edited. ~/undo takes back what it did.
terminal-again-how = Which line? Try :again 2. Lines count from 1.
terminal-again-none = Line { $n } wasn't a message, so it can't come again.
terminal-photo-how = Which picture? Try :photo fern.jpg fern 3
terminal-photo-missing = I can't open a picture at { $path }. Try :photo fern.jpg fern 3
terminal-broken = Something went wrong on my side, not yours, and I can't say if that line was kept. ~/story and a plant's name shows. Please try it again.
terminal-not-kept = I couldn't keep that line: { $reason }. Please say it again in a moment.
terminal-put-off = I kept that line but can't work on it now: { $reason }. The answer comes when I can.
terminal-stuck = I can't get on with that line now: { $reason }. Nothing is lost; try it again in a moment.
terminal-warning = Warning:
terminal-hello = ~/help shows what works, Tab completes, :quit or Ctrl-D leaves.
terminal-first = New here? ~/start says what this is for. Tab completes, :quit or Ctrl-D leaves.
terminal-leave = :quit or Ctrl-D leaves.
terminal-demo-begin = Birch Street, a household we made up: Ida, Tom, their sitter Noor, six plants. This is what Ida did in the last hour.
terminal-demo-try = You are { $name } now. Try: *goldie 4* · *fig is dry* · ~/pour goldie · ~/plants · ~/help
terminal-demo-tap = Fern's question is still open: *no* answers it, or :tap 2 presses the second button.
terminal-demo-kept = There is a household in this database already, so nothing was added to it. ~/plants shows who is here.
