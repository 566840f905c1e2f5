"""The table writer: nothing is cut, no line is too long."""

from __future__ import annotations

from glazecalc.show.table import table

LONG = "Potash feldspar, Horizon P-Spar, ground to two hundred mesh and sold in bags of twenty-five kilograms"


def test_columns_are_aligned():
    assert table([["name", "g"], ["Kaolin", "12.5"], ["Whiting", "8.0"]]) == [
        "  name        g",
        "  Kaolin   12.5",
        "  Whiting   8.0",
    ]
    assert table([]) == []
    assert table([["a", "b"], ["c"]]) == ["  a  b", "  c"]


def test_a_long_name_goes_on_below():
    lines = table([["name", "g"], [f"+ {LONG}", "12.5"]], width=50)
    assert max(map(len, lines)) <= 50
    assert lines[1].endswith("12.5")
    assert " ".join(line.replace("12.5", "").strip() for line in lines[1:]) == f"+ {LONG}"
    assert all(line.startswith("    ") for line in lines[2:])


def test_heads_and_words_longer_than_the_column_are_broken_and_whole():
    lines = table([["tile", LONG, LONG.replace(" ", "_")], ["1", "10.0", "20.0"]], width=60, wrap=(1, 2))
    assert max(map(len, lines)) <= 60
    letters = "".join(lines).replace(" ", "")
    for word in LONG.replace(",", " ").split():
        assert word in letters or word in "".join(lines)


def test_where_the_first_column_does_not_give_enough_the_widest_gives():
    lines = table([["a", LONG, "b"]], width=60)
    assert max(map(len, lines)) <= 60
    assert "kilograms" in "".join(lines)
