# One plant: what it is, what it wants, how it stands.

plant-kind = { $common } ({ $name })
plant-kind-unknown = { $said ->
    [none] a kind I don't know yet
   *[other] { $said } (a kind I don't know)
  }
plant-pot = { $size } pot

plant-wants-stand-wet = Stands in water: keep the tray or glass filled.
plant-wants-never-dry = Wants water when the surface just dries.
plant-wants-top-dry = Wants water when the top { $measures ->
    [metric] 2 to 3 cm are
   *[other] inch is
  } dry.
plant-wants-half-dry = Wants water when the top half is dry.
plant-wants-mostly-dry = Wants water when two thirds are dry.
plant-wants-dry-through = Wants to dry right through, then rest dry.
plant-wants-soak = No meter here: soak it when its roots are silvery or the pot feels light.
plant-wants-no-soil = No meter here: soak it about once a week, and when its leaves curl or hang.
plant-wants-unknown = I'm careful with it: water when the top half is dry. Its kind would help: ~/plant { $call } species NAME

plant-assumed-depth = ({ $depth } deep, I assume)
plant-assumed-round = (rim, base and height, I assume)

plant-danger-severe = Very poisonous ({ $harm }). Keep it from pets and children; after a bite call a vet or poison centre at once.
plant-danger-toxic = Poisonous ({ $harm }). Keep from pets and children; if eaten: vet or poison centre.
plant-danger-irritant = Irritant ({ $harm }). Keep from pets and children; if eaten: vet or poison centre.
plant-danger-harm-unsaid = by the lists of poisonous plants
plant-danger-emergency = Danger to { $whom }: { $harm }. Keep them apart; after any contact call a vet or poison centre at once.
plant-danger-conflicting = Poisonous? Lists disagree{ $harm ->
    [none] {""}
   *[other] {" "}({ $harm })
  }: treat it as if it were.
plant-danger-unknown = Poisonous? I can't say: treat it as if it were.{ $harm ->
    [none] {""}
   *[other] {" "}Mind: { $harm }.
  }
plant-danger-not-listed = On no poison list I know; that doesn't make it safe.{ $harm ->
    [none] {""}
   *[other] {" "}Mind: { $harm }.
  }

plant-last-water = { $who } watered it last, { $when }{ $amount ->
    [none] {""}
   *[other] {" "}({ $amount })
  }.
plant-button-dose = How much water
plant-button-story = Its story
plant-change-head = What about { $name }?
plant-changes =
    Write ~/plant { $call } and one of these:
    rename NAME · copy · retire · species NAME · resting · awake
    pot { example-pot } · mix cactus mix · hole no · outer yes · reservoir yes · terrarium yes
    { example-weights } (its weights)
    Its place: ~/spot { $call } north window
plant-unknown-change = I don't know "{ $said }" for { $name }.
plant-rename-how = Which name? Try: ~/plant { $call } rename Ferdinand
plant-renamed = { $old } is called { $new } now.
plant-name-taken = There is a { $name } already. { $free }, or another name?
plant-copied = { $name } is on the list, the same kind of plant, pot and place as { $like }. Please probe it once so that I know where it stands.
plant-retire-why = What became of { $name }? Its story is kept either way.
plant-reason-died = It died
plant-reason-given = Given away
plant-reason-sold = Sold
plant-retired-died = { $name } is off the list. Its story is kept; it may help the next one.
plant-retired-given = { $name } is off the list: given away. Its story is kept.
plant-retired-sold = { $name } is off the list: sold. Its story is kept.
plant-retired-gone = { $name } is off the list. Its story is kept.
plant-species-how = Which kind? Try: ~/plant { $call } species Boston fern
plant-species-unknown = I don't know "{ $said }"; kept as you said it.{ $near ->
    [none] {""}
   *[other] {" "}Is it one of these?
  }
plant-next-probe = Next probe { $when }.
plant-pot-told = { $name }'s pot: { $wide } wide, { $depth } deep, { $volume } of mix.
plant-pot-round = I took those as rim, base and height of a round pot.
plant-pot-half = Half of it, the most I'd ever give at once, is { $amount }.
plant-mix-unknown = { $said ->
    [none] Which mix?
   *[other] I don't know the mix "{ $said }".
  } I know { $names }.
plant-mix-told = { $name } grows in { $mix }.
plant-mix-no-meter = A moisture meter can't be trusted in that; go by the pot's weight, the roots or a stick.
plant-yes-or-no = Yes or no? Try: ~/plant { $call } { $what } no
plant-hole-yes = { $name }'s pot has a hole. Good.
plant-hole-no = { $name }'s pot has no hole: small amounts in one go, and nothing more before a new probe.
plant-outer-yes = { $name } stands in an outer pot: look for standing water in there after every pour.
plant-outer-no = { $name } stands without an outer pot.
plant-reservoir-yes = { $name } drinks from a reservoir: probe the middle, not the bottom, and let the reservoir stand empty some days before each fill.
plant-reservoir-no = { $name } is watered by hand.
plant-weights-crossed = The wet weight must be above the dry one; one of the two got mixed up.
plant-weight-wet = { $name } weighs { $weight } when wet. With its dry weight too, a kitchen scale beats any probe.
plant-weight-dry = { $name } weighs { $weight } when ready for water.
plant-resting = { $name } rests: no water, no feed. Tell me ~/plant { $call } awake when it grows again.
plant-awake = { $name } is awake.
plant-stands = { $name }: { $state }.
plant-glass-closed = { $name } grows in a closed glass: no water while it is closed; open it when it fogs. *terrarium no* ends that.
plant-glass-open = { $name } no longer grows in a closed glass: probe it as any other.
