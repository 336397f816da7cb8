"""What can be told or corrected on a plant's page."""

from __future__ import annotations

from bot.talk import addwords, portrayal, say
from bot.talk.answers import ANY, ANY_KIND, ANY_POT
from bot.talk.commands.addline import find_species
from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.pots import read_pot
from bot.talk.grammar.quantities import Refusal, read_weight
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions import upkeep
from core.actions.upkeep import NameTakenError
from core.care.pots import PotUnclearError, resolve
from core.care.potsaid import DepthWord
from core.care.potshape import Assumed, Pot
from core.journal.events import Described
from core.journal.plants import Plant, name_key
from core.journal.portrait import portrait
from core.knowledge.library import UNKNOWN_ID, library
from core.knowledge.matching import Ask, Match, Unknown
from core.knowledge.mixes import find_mix, mixes

LONGEST_NAME = 40
REASONS = {
    "died": "died",
    "dead": "died",
    "given": "given",
    "gave": "given",
    "gifted": "given",
    "sold": "sold",
    "lost": "gone",
    "gone": "gone",
}


def _describe(turn: Turn, plant: Plant, what: Described) -> Plant:
    return upkeep.describe(turn.tx, turn.teller, turn.home, plant, what)


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def rename(turn: Turn, plant: Plant, said: str) -> Reply:
    """Another name."""
    name = _capital(said.removeprefix("to ").strip())[:LONGEST_NAME].strip()
    if not name_key(name) or name_key(name).replace(" ", "").isdigit():
        hidden = Option(ANY, f"/plant {plant.call} rename {{text}}")
        return answer(turn.words("plant-rename-how", call=plant.call), buttons=(hidden,))
    try:
        upkeep.rename(turn.tx, turn.teller, turn.home, plant, name)
    except NameTakenError as taken:
        return _taken(turn, taken, f"/plant {plant.call} rename", name)
    return answer(turn.words("plant-renamed", old=plant.name, new=name))


def _taken(turn: Turn, taken: NameTakenError, command: str, name: str) -> Reply:
    free = upkeep.free_name(turn.tx, turn.who.household_id, name)
    buttons = (
        Option(free[:40], f"{command} {free}"),
        Option(turn.words("add-never-mind"), "/cancel"),
        Option(ANY, f"{command} {{text}}"),
    )
    return answer(turn.words("plant-name-taken", name=taken.other.name, free=free), buttons=buttons)


def copy(turn: Turn, plant: Plant, said: str) -> Reply:
    """Another plant of the same kind."""
    name = _capital(said.strip())[:LONGEST_NAME].strip()
    if not name_key(name):
        name = upkeep.free_name(turn.tx, turn.who.household_id, plant.name)
    try:
        new = upkeep.copy(turn.tx, turn.teller, turn.home, plant, name)
    except NameTakenError as taken:
        return _taken(turn, taken, f"/plant {plant.call} copy", name)
    return answer(turn.words("plant-copied", name=new.name, like=plant.name))


def retire(turn: Turn, plant: Plant, said: str) -> Reply:
    """It died, was given away, was sold."""
    moment = take_when(said, turn.now, turn.who.zone)
    if not isinstance(moment, When):
        return answer(turn.words.refusal(moment.key, moment.args))
    word = moment.rest.split()[0].casefold() if moment.rest.split() else ""
    reason = REASONS.get(word)
    if reason is None:
        return _why_retired(turn, plant)
    upkeep.retire(turn.tx, turn.teller, turn.home, plant, reason, moment.at)
    return answer(turn.words(f"plant-retired-{reason}", name=plant.name))


def _why_retired(turn: Turn, plant: Plant) -> Reply:
    buttons = tuple(
        Option(turn.words(f"plant-reason-{reason}"), f"/plant {plant.call} retire {reason}")
        for reason in ("died", "given", "sold")
    )
    keep = Option(turn.words("add-never-mind"), "/cancel")
    return answer(turn.words("plant-retire-why", name=plant.name), buttons=(*buttons, keep))


def species(turn: Turn, plant: Plant, said: str) -> Reply:
    """What kind of plant it is."""
    if not said:
        hidden = Option(ANY, f"/plant {plant.call} species {{text}}")
        return answer(turn.words("plant-species-how", call=plant.call), buttons=(hidden,))
    known = library()
    fields = find_species(said)
    found = Match(known.get(said), said) if said in known else fields["species"]
    if isinstance(found, Ask):
        return addwords.ask_species(turn, plant, found)
    mix_ = fields.get("mix")
    if not isinstance(found, Match):
        return _unknown_species(turn, plant, said, found)
    told = Described(species_id=found.species.id, species_said="", mix=mix_)
    changed = _describe(turn, plant, told)
    seen = portrait(changed.state, turn.home)
    about = portrayal.about(turn, changed.state, seen.species, seen.pot)
    lines = [
        turn.words("plant-stands", name=plant.name, state=about),
        portrayal.wants(turn, seen.species, plant.call),
        portrayal.danger(turn, seen.species),
    ]
    if changed.state.pot is None and not seen.unmeasured:
        hidden = Option(ANY_POT, f"/plant {plant.call} pot {{text}}")
        return answer(*lines, turn.words("add-no-pot"), buttons=(hidden,))
    return answer(*lines, _probe_line(turn, changed))


def _unknown_species(turn: Turn, plant: Plant, said: str, found: Unknown) -> Reply:
    """Kept as it was said; those that look near are offered."""
    told = Described(species_id=UNKNOWN_ID, species_said=said[:60])
    changed = _describe(turn, plant, told)
    near = found.nearest[:3]
    buttons = tuple(
        Option(_capital(one.common[0] if one.common else one.name)[:40],
               f"/plant {plant.call} species {one.id}")
        for one in near
    )  # fmt: skip
    hidden = Option(ANY_KIND, f"/plant {plant.call} species {{text}}")
    species_ = portrait(changed.state, turn.home).species
    return answer(
        turn.words("plant-species-unknown", said=said[:40], near="some" if near else "none"),
        portrayal.wants(turn, species_, plant.call),
        buttons=(*buttons, hidden),
    )


def _probe_line(turn: Turn, plant: Plant) -> str:
    probe = plant.state.probe
    if probe is None:
        return ""
    when = say.on_day(turn.words, probe.expected, turn.now, turn.who.zone)
    return turn.words("plant-next-probe", when=when)


def pot(turn: Turn, plant: Plant, said: str) -> Reply:
    """Its pot, or only how deep that is."""
    depth = next((word for word in DepthWord if word.value in said.casefold().split()), None)
    if depth is not None and len(said.split()) <= 2 and plant.state.pot is not None:
        return _pot_told(turn, _describe(turn, plant, Described(depth=depth.value)))
    found = read_pot(said, turn.settings.units)
    if isinstance(found, Refusal):
        return answer(turn.words.refusal(found.key, found.args))
    try:
        resolve(found)
    except PotUnclearError:
        return answer(turn.words("add-pot-unclear", said=said[:40]))
    return _pot_told(turn, _describe(turn, plant, Described(pot=found, depth="")))


def _pot_told(turn: Turn, plant: Plant) -> Reply:
    seen = portrait(plant.state, turn.home)
    return answer(
        turn.words(
            "plant-pot-told",
            name=plant.name,
            depth=say.length(seen.pot.depth_m, turn.settings.units),
            wide=_width(turn, seen.pot),
            volume=say.volume(turn.words, seen.pot.filled_l, turn.settings.units),
        ),
        turn.words("plant-assumed-round") if Assumed.ROUND in seen.pot.assumed else "",
        turn.words(
            "plant-pot-half", amount=say.litres(turn.words, seen.pot.half_l, turn.settings.units)
        ),
    )


def _width(turn: Turn, pot_: Pot) -> str:
    """`20 cm`, or `30 x 20 cm` for a box."""
    units = turn.settings.units
    across = say.length(pot_.nominal_m or pot_.across_m, units)
    if abs(pot_.top_m - pot_.across_m) < 0.005:
        return across
    return f"{say.length(pot_.top_m, units).split()[0]} x {across}"


def mix(turn: Turn, plant: Plant, said: str) -> Reply:
    """What it grows in."""
    found = find_mix(said)
    if found is None:
        names = turn.words.both([one.names[0] for one in mixes().values()])
        return answer(turn.words("plant-mix-unknown", said=said[:30] or "none", names=names))
    changed = _describe(turn, plant, Described(mix=found.id))
    note = "" if found.meter_ok else turn.words("plant-mix-no-meter")
    return answer(
        turn.words("plant-mix-told", name=plant.name, mix=found.names[0]),
        note,
        _probe_line(turn, changed),
    )


def _yes(said: str) -> bool | None:
    word = said.casefold().strip(" .!")
    if word in ("", "yes", "y", "one", "it has", "true"):
        return True
    return False if word in ("no", "n", "none", "not", "without", "false") else None


def _switch(turn: Turn, plant: Plant, said: str, what: str) -> Reply:
    value = _yes(said)
    if value is None:
        return answer(turn.words("plant-yes-or-no", call=plant.call, what=what))
    told = {
        "hole": Described(hole=value),
        "outer": Described(outer=value),
        "reservoir": Described(self_watering=value),
    }[what]
    _describe(turn, plant, told)
    return answer(turn.words(f"plant-{what}-{'yes' if value else 'no'}", name=plant.name))


def hole(turn: Turn, plant: Plant, said: str) -> Reply:
    """Whether the pot has a hole."""
    return _switch(turn, plant, said, "hole")


def outer(turn: Turn, plant: Plant, said: str) -> Reply:
    """Whether it stands in an outer pot."""
    return _switch(turn, plant, said, "outer")


def reservoir(turn: Turn, plant: Plant, said: str) -> Reply:
    """Whether it waters itself from a reservoir."""
    return _switch(turn, plant, said, "reservoir")


def _weigh(turn: Turn, plant: Plant, said: str, which: str) -> Reply:
    found = read_weight(said)
    if isinstance(found, Refusal):
        return answer(turn.words.refusal(found.key, found.args))
    state = plant.state
    wet = found.kg if which == "wet" else state.wet_kg
    dry = found.kg if which == "dry" else state.dry_kg
    if wet is not None and dry is not None and wet <= dry:
        return answer(turn.words("plant-weights-crossed"))
    told = Described(wet_kg=found.kg) if which == "wet" else Described(dry_kg=found.kg)
    _describe(turn, plant, told)
    shown = say.weight(found.kg, turn.settings.units)
    return answer(turn.words(f"plant-weight-{which}", name=plant.name, weight=shown))


def wet(turn: Turn, plant: Plant, said: str) -> Reply:
    """Its weight just after run-off stopped."""
    return _weigh(turn, plant, said, "wet")


def dry(turn: Turn, plant: Plant, said: str) -> Reply:
    """Its weight when it was ready for water."""
    return _weigh(turn, plant, said, "dry")


def resting(turn: Turn, plant: Plant, _said: str) -> Reply:
    """It rests: no water until it is awake."""
    _describe(turn, plant, Described(resting=True))
    return answer(turn.words("plant-resting", name=plant.name, call=plant.call))


def awake(turn: Turn, plant: Plant, _said: str) -> Reply:
    """It grows again."""
    changed = _describe(turn, plant, Described(resting=False))
    return answer(turn.words("plant-awake", name=plant.name), _probe_line(turn, changed))
