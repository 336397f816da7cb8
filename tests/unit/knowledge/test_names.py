"""Names are compared without the hundred small ways in which people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.knowledge.names import fold, forms, in_order, squeezed

SAME = [
    ("Boston fern", "boston FERN"),
    ("Boston fern", "  Boston   ferns "),
    ("devil's ivy", "Devils Ivy"),
    ("devil's ivy", "devil\u2019s ivy"),
    ("mother-in-law's tongue", "mother in laws tongue"),
    ("bird-of-paradise", "bird of paradise"),
    ("cactus", "cacti"),
    ("lily", "lilies"),
    ("Citrus x microcarpa", "Citrus × microcarpa"),
    ("Dracaena reflexa var. angustifolia", "dracaena reflexa angustifolia"),
    ("hens and chicks", "hen & chicks"),
    ("fern", "my ferns"),
    ("Pilea", "Piléa"),
    ("Phalaenopsis amabilis and hybrids", "Phalaenopsis amabilis"),
]


@pytest.mark.parametrize(("one", "other"), SAME)
def test_the_same_name_written_differently(one: str, other: str) -> None:
    assert fold(one) == fold(other)


@pytest.mark.parametrize(("one", "other"), [("fern", "fig"), ("aloe", "aloe vera"), ("ivy", "")])
def test_different_names_stay_different(one: str, other: str) -> None:
    assert fold(one) != fold(other)


def test_noise_alone_is_still_a_name() -> None:
    assert fold("the") == "the"
    assert fold("!?") == ""


def test_forms_go_from_the_whole_to_its_parts() -> None:
    assert list(forms("Monstera deliciosa 'Thai'")) == [
        "monstera deliciosa thai",
        "monstera deliciosa",
    ]
    assert list(forms("Boston fern (Nephrolepis exaltata)")) == [
        "boston fern nephrolepi exaltata",
        "boston fern",
        "nephrolepi exaltata",
    ]
    assert list(forms("aloe vera plant"))[-1] == "aloe vera"
    assert list(forms("devil's ivy")) == ["devil ivy"]


def test_looser_forms() -> None:
    assert squeezed("boston fern") == "bostonfern"
    assert in_order("fern boston") == in_order("boston fern")


@given(st.text(max_size=80))
def test_folding_never_fails_and_is_stable_in_case(text: str) -> None:
    once = fold(text)
    assert once == once.strip()
    assert "  " not in once
    assert all(form for form in forms(text))
