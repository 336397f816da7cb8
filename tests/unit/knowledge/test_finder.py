"""Finding a plant by what people type: certain, a question, or nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.knowledge.library import library
from core.knowledge.matching import Ask, Match, Unknown
from core.knowledge.types import Species

CERTAIN = [
    ("Nephrolepis exaltata", "nephrolepis-exaltata"),
    ("boston fern", "nephrolepis-exaltata"),
    ("Boston ferns", "nephrolepis-exaltata"),
    ("the boston fern", "nephrolepis-exaltata"),
    ("BostonFern", "nephrolepis-exaltata"),
    ("fern, boston", "nephrolepis-exaltata"),
    ("Boston fern (Nephrolepis exaltata)", "nephrolepis-exaltata"),
    ("Devil’s Ivy", "epipremnum-aureum"),
    ("devils ivy", "epipremnum-aureum"),
    ("golden pothos", "epipremnum-aureum"),
    ("Monstera deliciosa 'Thai'", "monstera-deliciosa"),
    ("Monstera deliciosa Thai Constellation", "monstera-deliciosa"),
    ("Ficus lyrata “Bambino”", "ficus-lyrata"),
    ("fiddle leaf fig", "ficus-lyrata"),
    ("Philodendron 'Birkin'", "philodendron-birkin"),
    ("snake plant", "dracaena-trifasciata"),
    ("ZZ-plant", "zamioculcas-zamiifolia"),
    ("aloe vera plant", "aloe-vera"),
    ("birds nest fern", "asplenium-nidus"),
    ("x Fatshedera lizei", "fatshedera-lizei"),
    ("Citrus × microcarpa", "citrus-microcarpa"),
    ("chinese evergreen", "aglaonema-commutatum"),
    ("moth orchid", "phalaenopsis-amabilis"),
    ("jade plant", "crassula-ovata"),
    ("peace lily", "spathiphyllum-wallisii"),
    ("tiger lily", "lilium-lancifolium"),
    ("daylily", "hemerocallis"),
    ("sago palm", "cycas-revoluta"),
    # old and trade names
    ("Sansevieria trifasciata", "dracaena-trifasciata"),
    ("sansevieria", "dracaena-trifasciata"),
    ("Calathea makoyana", "goeppertia-makoyana"),
    ("Saintpaulia ionantha", "streptocarpus-ionanthus"),
    ("saintpaulia", "streptocarpus-ionanthus"),
    ("Ficus pandurata", "ficus-lyrata"),
    ("Dypsis lutescens", "chrysalidocarpus-lutescens"),
    ("Schefflera arboricola", "heptapleurum-arboricola"),
    ("Dracaena marginata", "dracaena-reflexa-angustifolia"),
    ("Senecio rowleyanus", "curio-rowleyanus"),
    ("Rosmarinus officinalis", "salvia-rosmarinus"),
    # a genus with one plant of ours
    ("Spathiphyllum", "spathiphyllum-wallisii"),
    ("dieffenbachia", "dieffenbachia-seguine"),
    ("Chlorophytum", "chlorophytum-comosum"),
    ("Lilium", "lilium"),
    ("Nerium", "nerium-oleander"),
    # slips of the finger
    ("boston furn", "nephrolepis-exaltata"),
    ("spathiphylum", "spathiphyllum-wallisii"),
    ("phalenopsis", "phalaenopsis-amabilis"),
    ("spider plnt", "chlorophytum-comosum"),
    ("peace lilly", "spathiphyllum-wallisii"),
    ("poinsetia", "euphorbia-pulcherrima"),
    ("dracena marginata", "dracaena-reflexa-angustifolia"),
    ("string of perls", "curio-rowleyanus"),
    ("nephrolepis exalta", "nephrolepis-exaltata"),
    ("zamioculcas zamifolia", "zamioculcas-zamiifolia"),
    ("venus fly trap", "dionaea-muscipula"),
]


@pytest.mark.parametrize(("text", "id_"), CERTAIN)
def test_certain(text: str, id_: str) -> None:
    found = library().find(text)
    assert isinstance(found, Match), found
    assert found.species.id == id_
    assert found.as_name


ASKED = [
    # the practice review's list of names that must ask
    ("lily", "lilium"),
    ("lily", "hemerocallis"),
    ("lily", "hippeastrum"),
    ("lily", "zantedeschia-aethiopica"),
    ("palm", "cycas-revoluta"),
    ("palm", "pachypodium-lamerei"),
    ("fern", "asparagus-setaceus"),
    ("ivy", "epipremnum-aureum"),
    ("cactus", "schlumbergera-truncata"),
    ("Christmas cactus", "schlumbergera-gaertneri"),
    ("orchid", "phalaenopsis-amabilis"),
    ("succulent", "echeveria"),
    ("umbrella plant", "cyperus-alternifolius"),
    ("umbrella tree", "heptapleurum-actinophyllum"),
    ("money plant", "crassula-ovata"),
    ("money tree", "pachira-aquatica"),
    ("Chinese money plant", "pilea-peperomioides"),
    ("lucky plant", "dracaena-sanderiana"),
    ("lucky bamboo", "dracaena-sanderiana"),
    ("mother of thousands", "saxifraga-stolonifera"),
    ("mother of thousands", "kalanchoe-daigremontiana"),
    ("mother-in-law's tongue", "dieffenbachia-seguine"),
    ("zebra plant", "aphelandra-squarrosa"),
    ("zebra cactus", "haworthiopsis-attenuata"),
    ("Swiss cheese plant", "monstera-deliciosa"),
    ("Swiss cheese vine", "monstera-adansonii"),
    ("split-leaf philodendron", "thaumatophyllum-bipinnatifidum"),
    ("philodendron", "philodendron-hederaceum"),
    ("pothos", "scindapsus-pictus"),
    ("monstera", "monstera-adansonii"),
    ("rubber plant", "peperomia-obtusifolia"),
    ("fig", "ficus-lyrata"),
    ("ficus", "ficus-benjamina"),
    ("dragon tree", "dracaena-draco"),
    ("dragon-tail", "rhaphidophora-decursiva"),
    ("elephant ear", "caladium-bicolor"),
    ("elephant foot", "beaucarnea-recurvata"),
    ("aralia", "fatsia-japonica"),
    ("dracaena", "dracaena-fragrans"),
    ("jade", "portulacaria-afra"),
    ("panda plant", "kalanchoe-tomentosa"),
    ("goldfish plant", "columnea-gloriosa"),
    ("peacock plant", "goeppertia-makoyana"),
    ("prayer plant", "maranta-leuconeura"),
    ("polka-dot plant", "begonia-maculata"),
    ("friendship plant", "billbergia-nutans"),
    ("inch plant", "tradescantia-zebrina"),
    ("string of", "peperomia-prostrata"),
    ("hens and chicks", "sempervivum"),
    ("nerve plant", "fittonia-albivenis"),
    ("mosaic plant", "fittonia-albivenis"),
    ("baby tears", "soleirolia-soleirolii"),
    ("queen of the night", "epiphyllum-oxypetalum"),
    ("bird of paradise", "caesalpinia-pulcherrima"),
    ("jasmine", "stephanotis-floribunda"),
    ("geranium", "pelargonium-hortorum"),
    ("amaryllis", "hippeastrum"),
    ("shamrock", "oxalis-triangularis"),
    ("gold dust plant", "dracaena-surculosa"),
    ("strawberry begonia", "saxifraga-stolonifera"),
    ("rabbit's foot fern", "davallia-fejeensis"),
    ("bamboo", "chamaedorea-seifrizii"),
    ("aloe", "gonialoe-variegata"),
    ("begonia", "begonia-rex"),
    ("calathea", "goeppertia-orbifolia"),
    ("peperomia", "peperomia-argyreia"),
    ("hoya", "hoya-kerrii"),
    ("bromeliad", "guzmania-lingulata"),
    ("citrus", "citrus-limon"),
    # plural, misspelt, or only part of what was said
    ("lilies", "lilium"),
    ("lilly", "lilium"),
    ("palms", "cycas-revoluta"),
    ("cacti", "desert-cactus"),
    ("monsterra", "monstera-deliciosa"),
    ("philadendron", "philodendron-hederaceum"),
    ("calathia", "goeppertia-makoyana"),
    ("philodendron pink princess", "philodendron-erubescens"),
    ("variegated rubber plant", "ficus-elastica"),
    ("fern in the kitchen", "nephrolepis-exaltata"),
    ("snake plant laurentii", "dracaena-trifasciata"),
    ("maidenhair", "adiantum-raddianum"),
    ("flytrap", "dionaea-muscipula"),
    ("sago", "cycas-revoluta"),
    # a genus with several
    ("Goeppertia", "goeppertia-makoyana"),
    ("Asplenium", "asplenium-nidus"),
    ("Haworthia", "haworthia-cooperi"),
]


@pytest.mark.parametrize(("text", "id_"), ASKED)
def test_asked(text: str, id_: str) -> None:
    found = library().find(text)
    assert isinstance(found, Ask), found
    assert id_ in {choice.species_id for choice in found.choices}


@pytest.mark.parametrize("text", ["lily", "lilly", "palm", "palms", "palm tree", "white lily"])
def test_dangerous_names_carry_a_caution(text: str) -> None:
    found = library().find(text)
    assert isinstance(found, Ask)
    assert "kill" in found.caution


@pytest.mark.parametrize(
    "text",
    [
        "", "   ", "?!", "🌿", "furn", "fen", "figg", "lil", "ice plant", "hair plant",
        "plastic rose", "xyzzy", "plant", "cat", "green one by the door", "x" * 400, "4", "null",
    ],
)  # fmt: skip
def test_unknown(text: str) -> None:
    found = library().find(text)
    assert isinstance(found, Unknown), found
    assert found.text == text
    assert len(found.nearest) <= 3


def test_unknown_says_what_looks_near() -> None:
    found = library().find("snakey plantain")
    assert isinstance(found, Unknown)
    assert "dracaena-trifasciata" in {plant.id for plant in found.nearest}


@given(st.text(max_size=120))
def test_anything_typed_gets_an_answer(text: str) -> None:
    assert isinstance(library().find(text), Match | Ask | Unknown)


@given(st.sampled_from([plant for plant in library() if plant.common]), st.data())
def test_one_letter_left_out_never_leads_to_another_plant_for_certain(
    plant: Species, data: st.DataObject
) -> None:
    name = plant.common[0]
    at = data.draw(st.integers(0, len(name) - 1))
    found = library().find(name[:at] + name[at + 1 :])
    if isinstance(found, Match):
        assert found.species is plant
