"""What lists of poisonous plants say, with the name of each list beside its check."""

from __future__ import annotations

import pytest

from core.knowledge.library import careful_default, library
from core.knowledge.matching import Match
from core.knowledge.types import (
    Danger,
    Species,
)


def named(name: str) -> Species:
    found = library().find(name)
    assert isinstance(found, Match), found
    return found.species


ALL = tuple(library())

# Insoluble calcium oxalate: ASPCA news 2025-10-13, SEEN; Pet Poison Helpline adds
# Syngonium and Schefflera, SEEN.
OXALATE = (
    "Dieffenbachia", "Zantedeschia", "Epipremnum aureum", "Spathiphyllum", "Aglaonema commutatum",
    "Colocasia", "Alocasia macrorrhizos", "Caladium", "Zamioculcas", "Philodendron hederaceum",
    "Monstera deliciosa", "Anthurium andraeanum", "Syngonium", "Schefflera arboricola",
)  # fmt: skip


@pytest.mark.parametrize("name", OXALATE)
def test_needle_crystals(name: str) -> None:
    toxicity = named(name).toxicity
    assert toxicity.pets is Danger.TOXIC
    assert "calcium oxalate" in toxicity.principle


def test_soluble_oxalate_is_told_apart() -> None:
    """Pet Poison Helpline: not the same poison as in Oxalis. SEEN."""
    assert "insoluble" not in named("Oxalis triangularis").toxicity.principle
    assert "soluble calcium oxalate" in named("Oxalis triangularis").toxicity.principle


# True lilies and day lilies, cats, kidney failure, pollen and vase water too: several
# veterinary pages, SEEN.
@pytest.mark.parametrize(
    "name", ["Lilium", "Easter lily", "tiger lily", "Hemerocallis", "day lily"]
)
def test_true_lilies_and_day_lilies_are_an_emergency_for_cats(name: str) -> None:
    toxicity = named(name).toxicity
    assert toxicity.pets is Danger.SEVERE
    assert "cats" in toxicity.emergency
    assert "kidney" in toxicity.harm


# Sago palm, liver; kalanchoe and oleander, heart: veterinary pages, SEEN.
@pytest.mark.parametrize(
    ("name", "organ"),
    [
        ("sago palm", "liver"),
        ("oleander", "heart"),
        ("florist kalanchoe", "heart"),
        ("Kalanchoe daigremontiana", "heart"),
        ("Kalanchoe tomentosa", "heart"),
    ],
)
def test_what_kills_says_what_it_harms(name: str, organ: str) -> None:
    toxicity = named(name).toxicity
    assert toxicity.pets is Danger.SEVERE
    assert organ in toxicity.harm
    assert toxicity.emergency


def test_every_severe_plant_says_for_whom_it_is_an_emergency() -> None:
    assert [plant.id for plant in ALL if plant.toxicity.pets is Danger.SEVERE] != []
    for plant in ALL:
        if plant.toxicity.pets is Danger.SEVERE:
            assert plant.toxicity.emergency, plant.id
            assert plant.toxicity.principle, plant.id
            assert plant.toxicity.harm, plant.id


# One poison centre's list of plants not poisonous for PEOPLE names these (wapc.org, SEEN);
# yucca and gardenia are "safe" on a California list (SEEN-2ND): never read as pet lists.
@pytest.mark.parametrize(
    "name",
    ["jade plant", "florist kalanchoe", "gardenia", "snake plant", "Schefflera arboricola",
     "Schefflera actinophylla", "tiger lily", "Yucca"],
)  # fmt: skip
def test_lists_for_people_are_never_read_as_lists_for_pets(name: str) -> None:
    assert named(name).toxicity.pets in {Danger.TOXIC, Danger.SEVERE}


def test_the_spider_plant_is_not_listed() -> None:
    """Section 8: Chlorophytum -> not_listed; copies of ASPCA's list, SEEN-2ND."""
    assert named("Chlorophytum").toxicity.pets is Danger.NOT_LISTED


def test_an_unknown_plant_is_unknown_never_safe() -> None:
    assert careful_default().toxicity.pets is Danger.UNKNOWN
    assert "safe" not in set(Danger)


# REVIEW: toxicity corrections.
@pytest.mark.parametrize(
    ("name", "danger"),
    [
        ("Euphorbia milii", Danger.TOXIC),  # H; Pet Poison Helpline page SEEN
        ("Agave americana", Danger.TOXIC),  # M
        ("Fatshedera lizei", Danger.TOXIC),  # M
        ("Coffea arabica", Danger.TOXIC),  # M
        ("Ardisia crenata", Danger.CONFLICTING),  # M
        ("Aucuba japonica", Danger.TOXIC),  # M
        ("Nerium oleander", Danger.SEVERE),
    ],
)
def test_toxicity_as_corrected(name: str, danger: Danger) -> None:
    assert named(name).toxicity.pets is danger


def test_dumb_cane_can_hinder_breathing() -> None:
    """REVIEW M."""
    assert "breathing" in named("Dieffenbachia").toxicity.harm
