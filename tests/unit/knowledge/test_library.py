"""The library as a whole: one plant per id and name, and questions that can be answered."""

from __future__ import annotations

import dataclasses
import subprocess
import sys
import time

import pytest

from core.knowledge.faults import KnowledgeError
from core.knowledge.library import UNKNOWN_ID, Library, careful_default, library
from core.knowledge.matching import Ask, Match, Unknown, read_ambiguous
from core.knowledge.types import Danger, Habit, Species

FERN = library().get("nephrolepis-exaltata")
FIG = library().get("ficus-lyrata")
NO_QUESTIONS = read_ambiguous("")


def renamed(plant: Species, **changes: object) -> Species:
    return dataclasses.replace(plant, **changes)  # type: ignore[arg-type]


def test_one_by_id() -> None:
    assert library().get("nephrolepis-exaltata").name == "Nephrolepis exaltata"
    assert "ficus-lyrata" in library()
    assert "plastic-rose" not in library()
    with pytest.raises(KeyError):
        library().get("plastic-rose")


def test_it_is_read_once() -> None:
    assert library() is library()


def test_an_id_given_twice_is_refused() -> None:
    with pytest.raises(KnowledgeError, match="nephrolepis-exaltata: id: taken"):
        Library([FERN, renamed(FERN, name="Another", common=(), synonyms=())], NO_QUESTIONS)


def test_the_id_of_the_unknown_plant_is_kept_free() -> None:
    with pytest.raises(KnowledgeError, match="unknown: id: taken"):
        Library([renamed(FERN, id=UNKNOWN_ID)], NO_QUESTIONS)


@pytest.mark.parametrize(
    "clash",
    [
        {"name": "Nephrolepis exaltata"},
        {"common": ("boston FERNS",)},
        {"synonyms": ("sword-fern",)},
    ],
)
def test_a_name_that_two_plants_bear_is_refused(clash: dict[str, object]) -> None:
    fig = renamed(FIG, **{"name": "Ficus x", "common": (), "synonyms": ()} | clash)
    with pytest.raises(KnowledgeError, match=r"ficus-lyrata: names: .* is taken by nephrolepis"):
        Library([FERN, fig], NO_QUESTIONS)


def test_a_name_that_is_asked_about_may_be_borne_by_two() -> None:
    asks = read_ambiguous(
        '[ask."sword fern".choices]\nnephrolepis-exaltata = "one"\nficus-lyrata = "other"'
    )
    both = Library([FERN, renamed(FIG, common=("sword fern",))], asks)
    assert isinstance(both.find("sword ferns"), Ask)


def test_a_question_offers_only_plants_that_are_there() -> None:
    asks = read_ambiguous('[ask.fern.choices]\nnephrolepis-exaltata = "a"\nplastic-rose = "b"')
    with pytest.raises(KnowledgeError, match=r"ambiguous\.toml: fern: choices: .*plastic-rose"):
        Library([FERN], asks)


def test_a_question_needs_two_answers() -> None:
    with pytest.raises(KnowledgeError, match="fern: choices"):
        read_ambiguous('[ask.fern.choices]\nnephrolepis-exaltata = "a"')


def test_a_question_with_a_strange_field_is_refused() -> None:
    with pytest.raises(KnowledgeError, match="fern: colour: no such field"):
        read_ambiguous('[ask.fern]\ncolour = "green"\n[ask.fern.choices]\na = "a"\nb = "b"')


def test_a_name_is_asked_about_in_one_place() -> None:
    asks = read_ambiguous(
        '[ask.fern.choices]\nnephrolepis-exaltata = "a"\nficus-lyrata = "b"\n'
        '[ask.green]\nalso = ["ferns"]\n'
        '[ask.green.choices]\nnephrolepis-exaltata = "a"\nficus-lyrata = "b"'
    )
    with pytest.raises(KnowledgeError, match="'ferns' is asked twice"):
        Library([FERN, FIG], asks)


def test_four_choices_first_and_the_rest_after() -> None:
    question = library().find("lily")
    assert isinstance(question, Ask)
    assert len(question.first) == 4
    assert question.first + question.rest == question.choices
    assert all(len(choice.short) <= 36 for choice in question.choices)


def test_every_name_leads_to_its_plant_or_to_a_question_that_offers_it() -> None:
    for plant in library():
        for name in (plant.name, *plant.common, *plant.synonyms):
            found = library().find(name)
            if isinstance(found, Match):
                assert found.species is plant, name
            else:
                assert isinstance(found, Ask), name
                assert plant.id in {choice.species_id for choice in found.choices}, name


def test_accepted_botanical_names_never_ask() -> None:
    asked = [p.name for p in library() if not isinstance(library().find(p.name), Match)]
    assert asked == []


def test_the_careful_default() -> None:
    plant = library().get(UNKNOWN_ID)
    assert plant is careful_default()
    assert plant.habit is Habit.HALF_DRY
    assert plant.toxicity.pets is Danger.UNKNOWN
    assert isinstance(library().find("unknown plant"), Unknown)


def test_loading_everything_is_quick_enough_to_wait_for() -> None:
    started = time.perf_counter()
    code = "from core.knowledge.library import library; library().find('boston fern')"
    subprocess.run([sys.executable, "-c", code], check=True)
    assert time.perf_counter() - started < 2.0  # a process of its own on a busy machine


def test_exact_names_need_no_library_for_slips() -> None:
    code = (
        "import sys; from core.knowledge.library import library; library().find('boston fern');"
        "sys.exit('rapidfuzz' in sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
