"""What kind of plant it is, and what it grows in, told or corrected."""

from __future__ import annotations

from bot.talk import addwords, portrayal
from bot.talk.answers import ANY, ANY_KIND, ANY_POT
from bot.talk.commands.addline import find_species
from bot.talk.commands.retell import capital, describe, probe_line
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.journal.events import Described
from core.journal.plants import Plant
from core.journal.portrait import portrait
from core.knowledge.library import UNKNOWN_ID, library
from core.knowledge.matching import Ask, Match, Unknown
from core.knowledge.mixes import find_mix, mixes


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
    changed = describe(turn, plant, told)
    seen = portrait(changed.state, turn.home)
    about = portrayal.about(turn, changed.state, seen.species, seen.pot)
    lines = [
        turn.words("plant-stands", name=plant.name, state=about),
        portrayal.danger(turn, seen.species),
        portrayal.wants(turn, seen.species, plant.call),
    ]
    if changed.state.pot is None and not seen.unmeasured:
        hidden = Option(ANY_POT, f"/plant {plant.call} pot {{text}}")
        return answer(*lines, turn.words("add-no-pot"), buttons=(hidden,))
    return answer(*lines, probe_line(turn, changed))


def _unknown_species(turn: Turn, plant: Plant, said: str, found: Unknown) -> Reply:
    """Kept as it was said; those that look near are offered."""
    told = Described(species_id=UNKNOWN_ID, species_said=said[:60])
    changed = describe(turn, plant, told)
    near = found.nearest[:3]
    buttons = tuple(
        Option(capital(one.common[0] if one.common else one.name)[:40],
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


def mix(turn: Turn, plant: Plant, said: str) -> Reply:
    """What it grows in."""
    found = find_mix(said) or find_mix(f"{said} mix")
    if found is None:
        names = turn.words.both([one.names[0] for one in mixes().values()])
        return answer(turn.words("plant-mix-unknown", said=said[:30] or "none", names=names))
    changed = describe(turn, plant, Described(mix=found.id))
    note = "" if found.meter_ok else turn.words("plant-mix-no-meter")
    return answer(
        turn.words("plant-mix-told", name=plant.name, mix=found.names[0]),
        note,
        probe_line(turn, changed),
    )
