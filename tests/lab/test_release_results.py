"""Reading a results file: what is accepted, what is refused, all faults at once with their lines."""

from fractions import Fraction

import pytest

from glazecalc.errors import FileFaultsError, UnitError
from glazecalc.files.release_results import read_release_results
from glazecalc.release import release_unit


def write(tmp_path, text: str):
    path = tmp_path / "results.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_plain_file(tmp_path):
    found, notices = read_release_results(
        write(
            tmp_path,
            "element,value,unit,piece,extraction\nPb,0.03,mg/dm2,A,1\nlead,0.04,mg/dm2,B,1\nCd,<0.005,mg/dm2,A,1\n",
        )
    )
    assert [(r.element, r.value, r.unit, r.below, r.text, r.piece) for r in found] == [
        ("Pb", Fraction("0.03"), "mg/dm2", False, "0.03", "A"),
        ("Pb", Fraction("0.04"), "mg/dm2", False, "0.04", "B"),
        ("Cd", Fraction("0.005"), "mg/dm2", True, "<0.005", "A"),
    ]
    assert notices == ()


@pytest.mark.parametrize(
    ("written", "unit"),
    [
        ("mg/L", "mg/L"), ("mg/l", "mg/L"), ("µg/mL", "ug/mL"), ("μg/ml", "ug/mL"), ("ug/ml", "ug/mL"), ("ppm", "ppm"), ("PPM", "ppm"),
        ("mg/dm²", "mg/dm2"), ("mg/dm2", "mg/dm2"), ("µg/dm²", "ug/dm2"), ("ug/dm2", "ug/dm2"), ("mg / dm2", "mg/dm2"), ("mg/dm^2", "mg/dm2"),
        ("ug/cm2", "ug/cm2"), ("mg/article", "mg/article"), ("ppb", "ppb"), ("mcg/mL", "ug/mL"), ("mg per L", "mg/L"),
    ],
)  # fmt: skip
def test_units_as_laboratories_write_them(written, unit):
    assert release_unit(written) == unit


def test_an_unknown_unit_has_a_near_name():
    with pytest.raises(UnitError, match="mg/dm2"):
        release_unit("mg/dm3")


def test_semicolons_carry_decimal_commas(tmp_path):
    found, notices = read_release_results(write(tmp_path, "element;value;unit;extraction\nPb;0,03;mg/dm2;1\n"))
    assert found[0].value == Fraction("0.03")
    assert [n.code for n in notices] == ["decimal-comma"]


def test_lines_without_piece_are_numbered_and_this_is_said(tmp_path):
    found, notices = read_release_results(
        write(tmp_path, "element,value,unit,extraction\nPb,0.1,mg/L,1\nPb,0.2,mg/L,1\nPb,0.3,mg/L,1\nCd,<0.01,mg/L,1\n")
    )
    assert [r.piece for r in found] == ["1", "2", "3", "1"]
    assert [n.code for n in notices] == ["pieces-numbered"]
    assert "3 times" in notices[0].message


def test_one_piece_may_be_given_by_area_and_by_volume(tmp_path):
    found, _ = read_release_results(write(tmp_path, "element,value,unit,piece\nPb,0.03,mg/dm2,A\nPb,0.21,mg/L,A\n"))
    assert [r.per for r in found] == ["area", "volume"]


def test_all_faults_at_once_with_their_lines(tmp_path):
    text = "element,value,unit\nPbO,0.1,mg/L\nCd,n.d.,mg/L\nCo,0.1,mg/furlong\nCu,abc,mg/L\nMn,-1,mg/L\nNi,>5,mg/L\nZn,0,03,mg/L\nV,<0,mg/L\n"
    with pytest.raises(FileFaultsError) as caught:
        read_release_results(write(tmp_path, text))
    faults = caught.value.faults
    assert [f.line for f in faults] == [2, 3, 4, 5, 6, 7, 8, 9]
    assert "not as its oxide" in faults[0].hint
    assert "<0.005" in faults[1].hint
    assert "decimal comma" in faults[6].hint


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "holds no results"),
        ("element,value,unit\n", "a header and no results"),
        ("Pb,0.1,mg/L\n", "not a column"),
        ("element,value\nPb,1\n", "missing: unit"),
        ("element,value,unit,piece\nPb,1,mg/L,A\nPb,2,mg/L,A\n", "given on line 2 already"),
        ("element,value,unit,piece\nPb,1,mg/L,\n", "the piece is missing"),
        ("element,value,unit\nPb,1e3,mg/L\n", "1e3"),
        ('element,value,unit\nPb,"1,500",mg/L\n', "can be read as"),
    ],
)
def test_refused(tmp_path, text, words):
    with pytest.raises(FileFaultsError, match=words):
        read_release_results(write(tmp_path, text))


def test_ppm_and_zero_are_read_with_a_word(tmp_path):
    _, notices = read_release_results(write(tmp_path, "element,value,unit,extraction\nPb,0,ppm,1\n"))
    assert sorted(n.code for n in notices) == ["unit-of-leachate", "zero-release"]


def test_comments_and_a_byte_order_mark(tmp_path):
    found, _ = read_release_results(
        write(tmp_path, "\ufeff# from the laboratory\nelement,value,unit\n\nPb,0.1,mg/L # first\n")
    )
    assert len(found) == 1


def test_further_columns_are_said_and_not_read(tmp_path):
    found, notices = read_release_results(
        write(tmp_path, "element,value,unit,analyst,extraction\nPb,1,mg/L,K. Moor,1\n")
    )
    assert len(found) == 1
    assert [(n.code, n.message) for n in notices] == [("columns-not-read", "further columns are not read: analyst.")]


def test_hints_name_what_is_known(tmp_path):
    with pytest.raises(UnitError, match="Known: mg/L"):
        release_unit("stone")
    with pytest.raises(FileFaultsError, match="Did you mean 'unit'"):
        read_release_results(write(tmp_path, "element,value,units\nPb,1,mg/L\n"))


def test_the_oxide_hint_is_for_oxides_only(tmp_path):
    for name, oxide in (("PbO", True), ("Cr2O3", True), ("Plumbum", False), ("Xx2", False), ("OOO", False)):
        with pytest.raises(FileFaultsError) as caught:
            read_release_results(write(tmp_path, f"element,value,unit\n{name},1,mg/L\n"))
        assert ("not as its oxide" in str(caught.value)) == oxide, name


def test_the_comma_hint_is_for_a_comma_file_with_a_field_too_many(tmp_path):
    for text, hint in (
        ("element,value,unit\nPb,0,03,mg/L\n", True),
        ("element,value,unit\nPb,1\n", False),
        ("element;value;unit\nPb;0;03;mg/L\n", False),
    ):
        with pytest.raises(FileFaultsError) as caught:
            read_release_results(write(tmp_path, text))
        assert ("decimal comma" in str(caught.value)) == hint, text


def test_an_amount_beyond_reason_is_refused(tmp_path):
    assert read_release_results(write(tmp_path, "element,value,unit\nPb,1000000000,mg/L\n"))[0]
    with pytest.raises(FileFaultsError, match="cannot be a released amount"):
        read_release_results(write(tmp_path, "element,value,unit\nPb,1000000001,mg/L\n"))


def test_a_ware_is_of_a_known_kind_and_has_sizes_above_nothing():
    from glazecalc.errors import UnknownNameError
    from glazecalc.release import Ware

    assert Ware(kind="plate", area_dm2=2.8).area_dm2 == Fraction(28, 10)
    assert Ware(kind="plate", depth_mm=18).depth_mm == Fraction(18)
    with pytest.raises(UnknownNameError, match="pitcher"):
        Ware(kind="picher")
    for value in (0, -1, float("nan"), float("inf")):
        with pytest.raises(UnitError, match="more than zero"):
            Ware(kind="plate", volume_l=value)


# --- which fill with acid ---------------------------------------------------------------------------------------------------
def test_the_extraction_is_read_and_pieces_are_counted_apart_in_each(tmp_path):
    found, notices = read_release_results(
        write(tmp_path, "element,value,unit,extraction\nPb,0.5,mg/L,1\nPb,0.2,mg/L,2\nPb,0.1,mg/L,3\nPb,0.6,mg/L,1\n")
    )
    assert [(r.piece, r.extraction) for r in found] == [("1", 1), ("1", 2), ("1", 3), ("2", 1)]
    assert [n.code for n in notices] == ["pieces-numbered"]


def test_without_the_column_the_first_is_assumed_and_said(tmp_path):
    found, notices = read_release_results(write(tmp_path, "element,value,unit\nPb,0.1,mg/L\n"))
    assert [r.extraction for r in found] == [1]
    assert [n.code for n in notices] == ["extraction-assumed"]
    assert "read as the first" in notices[0].message


@pytest.mark.parametrize("written", ["0", "4", "first", "1.0", "1-3", "-1", ""])
def test_another_extraction_is_a_fault_with_its_line(tmp_path, written):
    text = f"element,value,unit,piece,extraction\nPb,1,mg/L,A,1\nPb,1,mg/L,B,{written}\nCd,x,mg/L,A,1\n"
    with pytest.raises(FileFaultsError) as caught:
        read_release_results(write(tmp_path, text))
    assert [fault.line for fault in caught.value.faults] == [3, 4]
    assert "extraction" in caught.value.faults[0].message


def test_one_piece_may_stand_once_in_each_extraction(tmp_path):
    with pytest.raises(FileFaultsError, match="given on line 2 already.*column 'extraction'"):
        read_release_results(write(tmp_path, "element,value,unit,piece\nPb,1,mg/L,A\nPb,2,mg/L,A\n"))
    apart = "element,value,unit,piece,extraction\nPb,1,mg/L,A,1\nPb,1,mg/L,A,3\n"
    assert len(read_release_results(write(tmp_path, apart))[0]) == 2
    with pytest.raises(FileFaultsError, match="given on line 3 already"):
        read_release_results(write(tmp_path, apart + "Pb,2,mg/L,A,3\n"))
