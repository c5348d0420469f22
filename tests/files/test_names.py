"""Whatever people call their cars and nights, their pages stay apart and in their folder."""

from hypothesis import given
from hypothesis import strategies as st

from pipeline.files.names import car_mark, distinct_slug, name_with, printable, slug


@given(st.text(max_size=300))
def test_a_slug_is_a_safe_name(text: str) -> None:
    made = slug(text)
    assert made
    assert len(made.encode("utf-8")) <= 60
    assert not set(made) & set('/\\.:*?"<>|_\x00\n ')


@given(st.lists(st.text(alphabet="ab -/_2", max_size=6), unique=True, max_size=12))
def test_no_two_texts_share_a_name(texts: list[str]) -> None:
    made = [distinct_slug(text, texts) for text in texts]
    assert len(set(made)) == len(texts)
    assert all(name.startswith(slug(text)) for name, text in zip(made, texts, strict=True))


def test_two_cars_spelled_nearly_alike_have_two_names() -> None:
    cars = ["Blue Car", "blue-car", "Red"]
    assert [car_mark(car, cars) for car in cars] == ["_blue-car", "_blue-car-2", "_red"]
    assert car_mark("Blue Car", ["Blue Car"]) == ""


def test_a_name_of_twenty_thousand_letters_is_cut() -> None:
    assert slug("é" * 20_000) == "é" * 30


def test_what_would_steer_a_terminal_is_shown_by_its_code() -> None:
    assert printable("a\x1b[31mb\nc\udcff\x85") == "a\\x1b[31mb\\nc\\udcff\\x85"
    assert printable("two\nlines\x07", keep="\n") == "two\nlines\\x07"
    assert printable("½ turn, Überholung, 12′") == "½ turn, Überholung, 12′"


def test_a_unit_apart_from_its_number_makes_no_other_page() -> None:
    assert name_with("next", "29.1 inHg", "humidity 55 %") == name_with("next", "29.1inHg", "humidity 55 %")
    assert name_with("next", "29.1", "air 80") == "next-29-1-air-80"


def test_a_card_is_named_for_the_conditions_it_was_asked_for() -> None:
    assert name_with("next", None, "") == "next"
    assert name_with("next", "track 95F", None, "28.6 inHg") == "next-track-95f-28-6-inhg"
    assert name_with("next", "track -5C") != name_with("next", "track 5C")
    assert len(name_with("next", *["very long"] * 99).encode()) < 100
