"""Rows of the book: every way to write them, and what is said of those that can't be drafted."""
from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from extension.book.clients import COLUMNS, NAME_COLUMNS, Unreadable, client_of, columns_of
from extension.book.csv_table import read_table
from extension.book.drafting_many import asked_for
from extension.document.file_names import file_name, file_names
from geometry.measuring.given import read_given
from geometry.measuring.measurements import BODY, DEFAULTS, EXAMPLE

KNOWN = (*COLUMNS, *NAME_COLUMNS)
WRITTEN = EXAMPLE


def clients_of(data: bytes):
    table = read_table(data, KNOWN)
    columns = columns_of(table)
    return [client_of(row, columns, len(table.header.cells)) for row in table.rows]


def example(separator=",", header="{}", cells="{}", before="", marked=False, extra=()):
    """The invented example as a book: ``header`` and ``cells`` write a column's name and its text in inches."""
    names = ["label", *(header.format(name) for name in WRITTEN), *(name for name, _ in extra)]
    row = ["Ann", *(cells.format(text.removesuffix(" in")) for text in WRITTEN.values()), *(text for _, text in extra)]
    text = before + separator.join(names) + "\n" + separator.join(row) + "\n"
    return text.encode("utf-8-sig" if marked else "utf-8")


@pytest.mark.parametrize(
    "data",
    [
        example(extra=[("unit", "in")]), example(";", marked=True, before="# unit: in\n"), example("\t", header="{} (in)"),
        example(cells="{} in"), example(cells='"{} in"', extra=[("unit", "cm")]), example(header="{} [inches]", extra=[("theirs", "x")]),
        example(before="# from spring\n\n# Unit = in\n"), example(header=" {} ", extra=[("UNIT", "Inches")]),
    ],
)  # fmt: skip
def test_a_row_means_the_same_however_it_is_written(data):
    (client,) = clients_of(data)
    assert client.label == "Ann"
    assert read_given(client.typed, client.typed["unit"])._asdict() == pytest.approx(
        read_given({**DEFAULTS, **EXAMPLE}, client.typed["unit"])._asdict()
    )


def test_a_decimal_comma_a_fraction_and_a_column_in_another_unit():
    data = example(";", before="# unit: in\n").decode().replace("bust_girth", "Bust girth (cm)").replace("36 1/2", "92,7").encode()
    (client,) = clients_of(data)
    given = read_given(client.typed, "in")
    assert (given.bust_girth, given.shoulder_width) == pytest.approx((927.0, 14.75 * 25.4))


def test_an_unquoted_decimal_comma_in_a_comma_file_is_told():
    data = example(before="# unit: cm\n", cells="{} in").decode().replace("36 1/2 in", "92,7").encode()
    with pytest.raises(Unreadable) as unreadable:
        clients_of(data)
    assert "more cells than columns" in {trouble.refusal.problems[0].rule for trouble in unreadable.value.troubles}


def test_an_ease_may_be_a_share():
    (client,) = clients_of(example(extra=[("unit", "in"), ("ease_hem", "15 %")]))
    assert read_given(client.typed, "in").ease_hem.percent == 15.0


def test_a_unit_is_never_guessed():
    with pytest.raises(Unreadable) as unreadable:
        clients_of(example())
    assert [trouble.refusal.problems[0].rule for trouble in unreadable.value.troubles] == ["no unit in the book"]


def test_all_that_is_wrong_with_a_row_is_told_by_column():
    data = example(extra=[("unit", "in"), ("shape", "baggy"), ("tiers", "99"), ("elastic_ratio", "x")]).decode()
    data = data.replace("36 1/2", "36 1/").replace(",9,", ",x,").replace("14 3/4", "")
    with pytest.raises(Unreadable) as unreadable:
        clients_of(data.encode())
    columns = {trouble.column for trouble in unreadable.value.troubles}
    assert columns == {"bust_girth", "hem_girth", "shoulder_width", "shape", "tiers", "elastic_ratio"}


def test_names_are_found_capitals_or_not_and_those_that_are_not_there_are_told():
    asked = asked_for(read_table(example(extra=[("unit", "in")]), KNOWN), "ann ; Bea")
    assert [client.label for client in asked.clients] == ["Ann"]
    assert asked.said == ["Not in the book: Bea."]


ODD = some.one_of(
    some.text(max_size=20), some.sampled_from(["", "0", "36 1/2", "13 3/", "-1", "nan", "1e9", "=1+1", "½", '"', "36;1", "all", "#x", "٣"])
)


@settings(max_examples=150)
@given(some.lists(some.dictionaries(some.sampled_from([*COLUMNS, "theirs"]), ODD, max_size=8), max_size=5), some.sampled_from([",", ";", "\t"]), ODD)
def test_whatever_stands_in_it_every_row_is_drafted_or_told(rows, separator, wanted):
    """Through all that does not draw; a row without any text is none."""
    names = [*COLUMNS, "theirs"]
    lines = ["label" + separator + separator.join(names[1:])]
    base = {"unit": "in", **{name: text.removesuffix(" in") for name, text in EXAMPLE.items()}}
    lines += [separator.join('"' + {**base, **row}.get(name, "").replace('"', '""') + '"' for name in names) for row in rows]
    table = read_table("\n".join(lines).encode("utf-8", "surrogateescape"), KNOWN)
    asked = asked_for(table, "all")
    told = {text.split(",")[0] for text in asked.said if text.startswith("Line ")}
    assert len(asked.clients) + len(told) == len(rows)
    asked_for(table, wanted)


@given(some.lists(some.text(max_size=300), max_size=6))
def test_names_of_files_are_safe_and_no_two_alike(labels):
    names = file_names(labels)
    assert len({name.casefold() for name in names}) == len(labels)
    for name in names:
        assert name and len(name.encode()) < 120
        assert not set(name) & set('/\\:*?"<>|\0\n\r\t.') and name == name.strip() and name[0] != "-"
        assert name.split()[0].lower() not in ("con", "prn", "aux", "nul", "com1", "lpt9") or name != name.split()[0]


@pytest.mark.parametrize("label", ["../../etc/passwd", "..", ".", "/", "C:\\x", "con", "COM1", "a\0b", "x" * 400, "ة" * 400, " . "])
def test_no_name_leads_out_of_the_folder(label, tmp_path):
    place = (tmp_path / file_name(label)).resolve()
    assert place.parent == tmp_path.resolve()
    place.mkdir()


def test_every_measurement_of_the_body_is_a_column():
    assert {measurement.name for measurement in BODY} <= set(COLUMNS)
