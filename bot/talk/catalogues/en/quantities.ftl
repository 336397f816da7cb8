### What to say when an amount, a size, a temperature or a pot can't be taken as it was typed.
### The args of each message are listed in bot/talk/grammar/quantities.py and pots.py;
### $said, $unit, $first, $second, $taken and $extra are the person's own words, cut short.

quantities-nothing-said =
    { $what ->
        [length] How long or how far?
        [weight] What does it weigh?
        [temperature] How warm or cold?
        [duration] For how long?
        [pot] What kind of pot?
       *[volume] How much water?
    } For example { $example }.

quantities-not-a-number = I can't read a number in "{ $said }". For example { $example }.

quantities-which-unit = Which unit is { $said } in? Say { $one } or { $other }.

quantities-unknown-unit = I don't know "{ $unit }" as a unit. Say it like { $example }.

quantities-wrong-kind =
    { $got ->
        [length] { $said } is a length.
        [weight] { $said } is a weight.
        [temperature] { $said } is a temperature.
        [duration] { $said } is a length of time.
       *[volume] { $said } is a volume.
    } { $what ->
        [length] I need a length here, such as { $example }.
        [weight] I need a weight here, such as { $example }.
        [temperature] I need a temperature here, such as { $example }.
        [duration] I need a length of time here, such as { $example }.
       *[volume] I need a volume here, such as { $example }.
    }

quantities-ambiguous-comma = { $said } can be { $whole } or { $decimal }. Please write it as one of these.

quantities-too-big = { $said } can't be right. I take { $most } or less.

quantities-too-small = { $said } can't be right. I take { $least } or more.

quantities-negative = { $said } is less than nothing. I take { $least } or more.

quantities-one-number = I read both { $first } and { $second }. Please give one number, the whole amount.

quantities-extra-words = I read { $taken }, but not "{ $extra }". Please leave that out, or put it another way.

quantities-no-pot = I don't see a pot in "{ $said }". For example { $example }.

quantities-which-size =
    I can't tell which size is which in "{ $said }".
    Say rim, base and height like { $example }, or the sides of a box like 30 x 20 x 15 cm.

quantities-trade-size = I don't know { $said } as a nursery size. I know { $known }; the width of the pot will do too.
