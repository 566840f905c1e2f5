"""One set of rules for every CSV: delimiters, comments, headers in any order, further columns, faults with their lines."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glazecalc.errors import Fault, FileFaultsError, Notice
from glazecalc.files.csv_table import Row, format_table, read_table
from glazecalc.files.firings import read_firings
from glazecalc.files.recipe_csv import parse_recipe_csv
from glazecalc.files.release_results import read_release_results
from glazecalc.files.shelf import read_shelf
from glazecalc.plain_text import with_plain_spaces


def read(text: str) -> tuple[list[Row], list[Fault], list[Notice]]:
    faults: list[Fault] = []
    notices: list[Notice] = []
    return read_table(text, faults, notices, "things", ("name", "size"), ("note",)), faults, notices


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_delimiters_line_ends_order_and_case(mark: str, end: str):
    lines = ["\ufeff# of May, June; July\t1990", "", " Size , NAME ", "3,jug", "", "4 , cup "]
    rows, faults, _ = read(
        end.join(line.replace(",", mark) if number > 1 else line for number, line in enumerate(lines))
    )
    assert faults == []
    assert [(row.line, row.cells) for row in rows] == [(4, {"size": "3", "name": "jug"}), (6, {"size": "4", "name": "cup"})]  # fmt: skip


def test_comments_and_quotes():
    rows, faults, _ = read(
        'name,size,note # the header\njug,3,"#1, the blue one"\n# all of it\ncup,4,lot#2 # and this\n,,\n'
    )
    assert faults == []
    assert [row.cells["note"] for row in rows] == ["#1, the blue one", "lot#2"]
    rows, _, _ = read('name,size\n"jug ""small""\n# one",3\ncup,4\n')
    assert [(row.line, row.cells["name"]) for row in rows] == [(2, 'jug "small"\n# one'), (4, "cup")]


def test_further_columns_are_said():
    rows, faults, notices = read("name,size,colour,No\njug,3,blue,1\n")
    assert faults == []
    assert notices == [Notice("columns-not-read", "further columns are not read: colour, No.")]
    assert rows[0].cells == {"name": "jug", "size": "3"}
    assert "one without a name" in read("name,size,,\njug,3,,\ncup,4,blue,\n")[2][0].message


OPTIONAL = ("unit", "role", "note", "stock", "supplier", "piece")


@pytest.mark.parametrize("meant", OPTIONAL)
def test_a_further_column_that_nearly_is_an_optional_one_is_a_fault(meant: str):
    """Passed over, it would change the meaning of the rows: a recipe without its units is another recipe."""
    for written in (f"{meant}s", meant[:-1], meant.upper() + "S", f"{meant[:-2]}{meant[-1]}{meant[-2]}"):
        faults: list[Fault] = []
        text = f"\nname,{written}\njug,3\n"
        assert read_table(text, faults, [], "things", ("name",), OPTIONAL) == []
        assert [(fault.line, fault.hint) for fault in faults] == [(2, f"Did you mean '{meant}'?")]


def test_a_recipe_is_not_read_without_its_units():
    with pytest.raises(FileFaultsError, match="'units' is not a column. Did you mean 'unit'"):
        parse_recipe_csv("material,amount,units\nwhiting,5,lb\nsilica,80,oz\n")


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("", None, "the file is empty: it holds no things"),
        ("# nothing\n", None, "the file is empty"),
        ("name,size\n", None, "a header and no things"),
        ("jug,3\ncup,4\n", 1, "'jug' is not a column"),
        ("\nname,sise\njug,3\n", 2, "missing: size"),
        ("name,size,Size\njug,3,4\n", 1, "'size' is there twice"),
        ("name,size\njug,3,5\n", 2, "the row has 3 fields, the header 2"),
        ('name,size\n"jug,3\n', 2, "not valid CSV"),
    ],
)
def test_faults(text: str, line: int | None, said: str):
    rows, faults, _ = read(text)
    assert [fault.line for fault in faults] == [line]
    assert said in faults[0].message
    assert rows == []


def test_the_mend_is_named():
    assert "Did you mean 'size'" in read("name,sise\njug,3\n")[1][0].hint
    assert "decimal comma" in read("name,size\njug,3,5\n")[1][0].hint
    assert read("name;size\njug;3;5\n")[1][0].hint == ""
    assert "name,size" in read("jug,3\n")[1][0].hint


cells = (
    st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=12)
    .map(with_plain_spaces)
    .map(str.strip)
)


@given(st.lists(st.tuples(cells.filter(bool), cells, cells), min_size=1, max_size=5))
def test_a_written_table_reads_back(rows: list[tuple[str, str, str]]):
    found, faults, _ = read(format_table(("name", "size", "note"), rows))
    assert faults == []
    assert [tuple(row.cells.values()) for row in found] == rows


def test_every_kind_of_table_has_the_same_rules(tmp_path: Path, library):
    """Semicolons, a comment, capitals, another order, a further column, a decimal comma: each reader takes them."""
    path = tmp_path / "t.csv"

    def at(text: str) -> Path:
        path.write_text("\ufeff# of May\n" + text, encoding="utf-8")
        return path

    recipe = parse_recipe_csv(at("AMOUNT;Material;seen\n12,5;whiting;May # chalk\n").read_text(encoding="utf-8"))
    assert [(i.material, i.amount, i.line) for i in recipe.ingredients] == [("whiting", 12.5, 3)]
    firings, said = read_firings(at("RESULT;Body;cone;Recipe;seen\nSound;Slate;06;harbour;May # bare\n"))
    assert [(f.recipe, f.body, f.cone, f.result, f.line) for f in firings] == [("harbour", "Slate", "06", "sound", 3)]
    results, also = read_release_results(at("UNIT;Value;element;seen\nmg/L;0,03;Pb;May # bare\n"))
    assert [(r.element, float(r.value), r.line) for r in results] == [("Pb", 0.03, 3)]
    shelf = read_shelf(at("STOCK;Material;seen\n1,5 kg;whiting;May # bare\n"), library)
    assert shelf.stock_g == {"whiting": 1500}
    for notices in (recipe.notices, said, also, shelf.notices):
        assert "columns-not-read" in [notice.code for notice in notices]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("recipe,body,cone,result\nharbour,Slate,6,cracked\n,,6,sound\nrill,Slate,6,sound,x,y\n", [2, 3, 3, 4]),
        ("recipe,body,result\nharbour,Slate,sound\n", [1]),
    ],
)
def test_every_fault_of_the_firings_with_its_line(tmp_path: Path, text: str, lines: list[int]):
    path = tmp_path / "f.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(FileFaultsError) as caught:
        read_firings(path)
    assert [fault.line for fault in caught.value.faults] == lines
