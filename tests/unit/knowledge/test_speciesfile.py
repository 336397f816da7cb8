"""The reader of the species file refuses what no plant can be, and says where it stands."""

from __future__ import annotations

from typing import Any

import pytest

from core.knowledge.faults import KnowledgeError
from core.knowledge.speciesfields import CLASS_LIGHT
from core.knowledge.speciesfile import GROUPS, read_species
from core.knowledge.types import (
    Danger,
    Habit,
    Leaf,
    LightClass,
    Method,
    Species,
    WaitGroup,
    WaterNeed,
    WaterTo,
)

MARKS = '[marks]\nMEM = "memory"\nCP = "practice"\n'
GOOD: dict[str, str] = {
    "name": '"Testia exempla"',
    "family": '"Testaceae"',
    "habit": '"top-dry"',
    "light": '{class = "medium"}',
    "temperature": "{comfort_c = [18, 27], slow_below_c = 15, damage_below_c = 10}",
    "toxicity": '{pets = "unknown"}',
    "sources": '{rest = "MEM"}',
}


def toml(id_: str = "testia-exempla", without: str = "", **changes: str) -> str:
    fields = {key: value for key, value in (GOOD | changes).items() if key != without}
    return f"{MARKS}[species.{id_}]\n" + "\n".join(f"{k} = {v}" for k, v in fields.items())


def read(id_: str = "testia-exempla", **changes: str) -> Species:
    (species,) = read_species(toml(id_, **changes), "test.toml")
    return species


def test_what_is_left_out_is_the_ordinary_case() -> None:
    plant = read()
    assert plant.method is Method.SOIL
    assert plant.water_to is WaterTo.STEMS
    assert plant.wait is WaitGroup.NONE
    assert plant.leaf is Leaf.SMOOTH
    assert plant.water is WaterNeed.ANY
    assert plant.growing_months == set(range(3, 10))
    assert plant.dormant_months == frozenset()
    assert not plant.stores_water


def test_light_figures_of_the_class_stand_unless_said() -> None:
    plain = read().light
    assert (plain.hold_fc, plain.good_fc) == CLASS_LIGHT[LightClass.MEDIUM]
    own = read(light='{class = "low", hold_fc = 50, good_fc = [100, 300]}').light
    assert (own.light_class, own.hold_fc, own.good_fc) == (LightClass.LOW, 50, (100, 300))


def test_all_fields_are_read() -> None:
    plant = read(
        common='["test plant"]',
        synonyms='["Exempla testia"]',
        name_status='"verify"',
        winter_habit='"dry-through"',
        habit='"mostly-dry"',
        method='"bark"',
        water_to='"rim"',
        wait='"leafy"',
        stores_water="true",
        crown_dry="true",
        still_in_bud="true",
        growing='"Sep-May"',
        dormant='"Jul"',
        sensitive='["lime", "salt"]',
        water='"rain"',
        leaf='"waxy"',
        toxicity='{pets = "severe", principle = "x", emergency = "cats"}',
        chill_note='"cold hurts"',
        note='"a note"',
    )
    assert (plant.habit, plant.winter_habit) == (Habit.MOSTLY_DRY, Habit.DRY_THROUGH)
    assert plant.growing_months == {9, 10, 11, 12, 1, 2, 3, 4, 5}
    assert plant.dormant_months == {7}
    assert plant.sensitive == {"lime", "salt"}
    assert (plant.toxicity.pets, plant.toxicity.emergency) == (Danger.SEVERE, "cats")
    assert plant.chill_note == "cold hurts"
    assert plant.sources["chill"] == "MEM"


def test_marks_are_spelled_out_for_every_group() -> None:
    assert dict(read().sources) == dict.fromkeys(GROUPS, "MEM")
    sources = read(sources='{rest = "MEM", light = "MEM+CP"}').sources
    assert (sources["light"], sources["habit"]) == ("MEM+CP", "MEM")


@pytest.mark.parametrize("field", GOOD)
def test_a_needed_field_that_is_missing_is_named(field: str) -> None:
    with pytest.raises(KnowledgeError, match=f"test.toml: testia-exempla: {field}: missing"):
        read_species(toml(without=field), "test.toml")


FAULTS: list[tuple[str, str]] = [
    ("habit", '"sometimes"'),
    ("winter_habit", '"sometimes"'),
    ("method", '"lava"'),
    ("water_to", '"sky"'),
    ("wait", '"ages"'),
    ("leaf", '"blue"'),
    ("water", '"beer"'),
    ("name", '""'),
    ("family", "3"),
    ("common", '[""]'),
    ("common", "[1]"),
    ("stores_water", '"yes"'),
    ("light", '{class = "bright-ish"}'),
    ("light", "{}"),
    ("light", '{class = "low", hold_fc = 0}'),
    ("light", '{class = "low", hold_fc = 90, good_fc = [80, 200]}'),
    ("light", '{class = "low", hold_fc = 50, good_fc = [200, 200]}'),
    ("light", '{class = "low", good_fc = [200]}'),
    ("temperature", "{comfort_c = [18, 27], slow_below_c = 15}"),
    ("temperature", "{comfort_c = [18, 27], slow_below_c = 15, damage_below_c = 16}"),
    ("temperature", "{comfort_c = [18, 27], slow_below_c = 19, damage_below_c = 10}"),
    ("temperature", "{comfort_c = [27, 27], slow_below_c = 15, damage_below_c = 10}"),
    ("temperature", '{comfort_c = "warm", slow_below_c = 15, damage_below_c = 10}'),
    ("growing", '"Mar-Sept."'),
    ("growing", '"3-9"'),
    ("dormant", '"Aug"'),  # it grows then
    ("sensitive", '["love"]'),
    ("toxicity", '{pets = "safe"}'),
    ("toxicity", "{}"),
    ("toxicity", '{pets = "not_listed", emergency = "cats"}'),
    ("chill_note", '""'),
    ("sources", "{}"),
    ("sources", '{light = "MEM"}'),
    ("sources", '{rest = "HEARSAY"}'),
    ("sources", '{rest = "MEM", light = "MEM+HEARSAY"}'),
    ("sources", '{rest = "MEM", weather = "MEM"}'),
    ("sources", "{rest = 3}"),
    ("colour", '"green"'),
]


@pytest.mark.parametrize(("field", "value"), FAULTS)
def test_a_value_that_cannot_be_is_refused_by_file_species_and_field(
    field: str, value: str
) -> None:
    with pytest.raises(KnowledgeError, match=f"^test.toml: testia-exempla: {field}: "):
        read(**{field: value})


CONTRADICTIONS: list[tuple[str, dict[str, Any]]] = [
    ("water_to", {"habit": '"stand-wet"'}),
    ("water_to", {"habit": '"soak"', "water_to": '"rim"'}),
    ("wait", {"habit": '"dry-through"', "wait": '"stout"'}),
]


@pytest.mark.parametrize(("field", "changes"), CONTRADICTIONS)
def test_fields_that_contradict_each_other_are_refused(field: str, changes: dict[str, Any]) -> None:
    with pytest.raises(KnowledgeError, match=f"testia-exempla: {field}: "):
        read(**changes)


def test_an_id_is_a_plain_slug() -> None:
    with pytest.raises(KnowledgeError, match="Testia: id: "):
        read("Testia")


def test_an_id_given_twice_is_refused() -> None:
    twice = toml() + "\n[species.testia-exempla]\n"
    with pytest.raises(KnowledgeError, match=r"test\.toml: "):
        read_species(twice, "test.toml")


def test_what_is_no_toml_is_refused_by_file() -> None:
    with pytest.raises(KnowledgeError, match=r"^test\.toml: "):
        read_species("this is no table", "test.toml")
