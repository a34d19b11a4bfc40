"""Promises of tables of orders: good rows become jobs, each bad one is a line, and no cell is ever obeyed."""

import csv
import io
import json
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stampwright.cli import main
from stampwright.errors import JobError, OrderError
from stampwright.orders.tables.checking import check_orders
from stampwright.orders.tables.escaping import csv_of
from stampwright.orders.tables.reading import read_orders
from stampwright.templates import fill_template, read_template

TEMPLATE = """
format = 2
name = "Member {name}"
[layout]
size_by = "page"
centre = "bounds"
[base]
outline = "rectangle"
width = 60.0
height = 24.0
[[pieces]]
kind = "lettering"
text = "{name}"
cap_height = 5.0
spacing = 0.2
fits = 50.0
fits_up = 14.0
smallest = 3.5
narrowest = -0.1
most_lines = 2
"""


@pytest.fixture
def template(tmp_path):
    (tmp_path / "t.toml").write_text(TEMPLATE, encoding="utf-8")
    return read_template(tmp_path / "t.toml")


@pytest.fixture
def checked(tmp_path, template):
    def check(content, name="orders.csv", **given):
        data = content if isinstance(content, bytes) else content.encode("utf-8")
        (tmp_path / name).write_bytes(data)
        return check_orders(read_orders(tmp_path / name), template, tmp_path, **given)

    return check


def said(order):
    return order.job.pieces[0].text


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("a.csv", "name,count\nAda,2\n"),
        ("a.csv", b"\xef\xbb\xbfname,count\r\nAda,2\r\n"),
        ("a.csv", "name;count\nAda;2\n"),
        ("a.tsv", "name\tcount\nAda\t2\n"),
        ("a.csv", "name\tcount\nAda\t2\n\n"),
        ("a.csv", "sep=;\r\nname;count\r\nAda;2\r\n"),
        ("a.csv", "\ufeffSEP=,\nname,count\nAda,2\n"),
        ("a.csv", 'name,count\n"Ada",2\r\n'),
        ("a.jsonl", '{"name": "Ada", "count": 2}\n'),
        ("a.csv", '{"name": "Ada", "count": "2"}\n\n'),
    ],
)
def test_the_same_order_is_read_from_every_form(checked, name, content):
    (order,) = checked(content, name).orders
    assert (said(order), order.count, order.job.name) == ("Ada", 2, "Member Ada")


def test_a_column_fills_a_place_or_sets_a_setting_by_its_name(checked):
    (order,) = checked("order,name,base.width,rush,customer\nA-1,Ada,7cm,yes,The Ferns\n").orders
    assert (order.name, order.job.base.width, order.rush, order.customer) == ("A-1", 70.0, True, "The Ferns")


@pytest.mark.parametrize(("separator", "name"), [(";", "a.csv"), ("\t", "a.tsv")])
def test_numbers_may_have_a_decimal_comma_where_it_separates_no_cells(checked, separator, name):
    lines = [
        "order;name;die.relief;base.width",
        "A,1;Ada;1,6;6,5 cm",
        "A,2;Bo;1.6;65",
        "A,3;Cy;1,600;65",
        "A,4;Di;1,x;65",
    ]
    found = checked("\n".join(lines).replace(";", separator), name)
    made = [(order.order, order.job.die.relief, order.job.base.width) for order in found.orders]
    assert made == [("A,1", 1.6, 65.0), ("A,2", 1.6, 65.0)]
    # It may as well part thousands.
    assert "'1,600': it takes a number from 0.4 to 20 mm; with a point it is 1.600" in str(found.faults[0])
    assert "'1,x': it takes a number" in str(found.faults[1])


@pytest.mark.parametrize(("typed", "count"), [("2.0", 2), ('"3,00"', 3), ("4", 4), ('"1,000"', None), ("2.5", None)])
def test_whole_numbers_may_be_written_as_programs_write_others(checked, typed, count):
    found = checked(f"name,count\nAda,{typed}\n")
    assert [order.count for order in found.orders] == ([] if count is None else [count])
    assert len(found.faults) == (count is None)


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("Ada,0,60", "row 2, 'count' = '0': it takes a whole number from 1 to 10,000"),
        ("Ada,٣,60", "count"),
        ("Ada,1e3,60", "count"),
        ("Ada,1,7 miles", "row 2, 'base.width' = '7 miles': it takes a number from 5 to 300 mm"),
        ("Ada,1,nan", "it takes a number"),
        ('Ada,1,"60,5"', "row 2, 'base.width' = '60,5': it takes a number from 5 to 300 mm; with a point it is 60.5"),
        ("Ada", "row 2: has 1 cell, the header 3"),
        # Private use characters (Unicode 16, section 23.5), which no font at hand draws.
        ("Ada \ue0f1,1,60", "row 2, 'name' = .*U\\+E0F1"),
        ("\ue0f1\ue0f2,1,60", "row 2, 'name' = .*U\\+E0F1"),
        ("\u202eadA,1,60", "row 2, 'name' = .*U\\+202E"),
        ("A\0da,1,60", "row 2, 'name' = .*NUL"),
        ("x" * 300 + ",1,60", "row 2, 'name' = .*300 characters"),
        ("y" * 4000 + ",1,60", "row 2, 'name' = .*4,000 characters"),
        ("Wilhelmina-Quartermaine-Hollingsworth,1,60", "row 2, 'name' = .*about [0-9]+ such characters fit"),
        ("Ada of the Ferns-and-Quartermaine-Hollows,1,60", "'Ferns-and-.*', the longest of 2 lines, .* fit a line"),
        (",1,60", "row 2, 'name': .*nothing to say"),
    ],
)
def test_a_bad_row_is_one_line_and_the_good_ones_are_made_all_the_same(checked, row, told):
    found = checked(f"name,count,base.width\n{row}\nBo,1,60\n")
    assert [said(order) for order in found.orders] == ["Bo"]
    (fault,) = found.faults
    assert pytest.importorskip("re").search(told, str(fault))
    assert "\n" not in str(fault)
    assert not any(unicodedata.category(letter) in ("Cc", "Cf") for letter in str(fault))


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (",".join(["a"] * 1_000_000) + "\n", "1,000,000 columns; 500 at most"),
        ('name\n"Ada\nBo\n', "line 2: a quote is opened and never closed"),
        ('name\n"Ada"x\n', "line 2"),
        ("", "is empty"),
        ("name\n", "holds no row"),
        ("name,name\na,b\n", "two columns"),
        ("name,\na,b\n", "column 2 of the header has no name"),
        (b"name\nM\xfcller\n", "line 2 is not in UTF-8"),
        (b"PK\x03\x04" + b"\0" * 900, "workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 900, "workbook"),
        ("name\nAda\n".encode("utf-16"), "UTF-16"),
        ("name\nAda\n".encode("utf-16-le"), "UTF-16"),
        ("name\nAda\n".encode("utf-32-be"), "UTF-16"),
        ('sep=;\nname\n"Ada\n', "line 3: a quote is opened"),
        ("name,count\n" + "".join(f"{letter},10000\n" for letter in "ABCDEFGHIJK"), "110,000 stamps in all"),
        ("nmae\nAda\n", "nearest: name"),
        ("name,=cmd|' /C calc'!A0\nAda,1\n", "rename it, or leave it out"),
        (b"\0\0\0\0", "is called"),
        (b"\0" * 5, "UTF-16"),
    ],
)
def test_a_table_that_is_none_is_refused_in_one_line(checked, content, told):
    with pytest.raises(OrderError, match=told) as caught:
        checked(content)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 600


def test_lines_of_json_that_are_none_are_faults_of_their_rows(checked):
    lines = ['{"name": "Ada"}', '{"name": ["x"]}', "[1]", '{"name":"x","name":"y"}', "{", "[" * 100_000]
    found = checked("\n".join(lines), "a.jsonl")
    assert [order.row for order in found.orders] == [1]
    assert [fault.row for fault in found.faults] == [2, 3, 4, 5, 6]


def test_names_become_folders_that_lead_nowhere_and_never_meet(checked):
    names = ["../x", "..\\x", "/etc/passwd", "ADA", "Ada", "ada", "Ada", "CON", "=cmd|' /C calc'!A0", ".", "{name}"]
    rows = io.StringIO()
    csv.writer(rows).writerows([["name"], *([name] for name in names)])
    folders = [order.name for order in checked(rows.getvalue()).orders]
    assert len({folder.casefold() for folder in folders}) == len(names)
    assert all(folder.replace("-", "").isalnum() and folder.isascii() for folder in folders)


def test_orders_called_alike_but_for_case_are_refused(checked):
    found = checked("order,name\nA1,Ada\na1,Bo\n")
    assert [order.name for order in found.orders] == ["A1"]
    assert "row 2 is called so too" in str(found.faults[0])


def test_a_folder_keeps_its_name_when_rows_come_before_it(checked):
    (alone,) = checked("name\nAda\n").orders
    assert checked("name\nBo\nAda\n").orders[1].name == alone.name


@pytest.mark.parametrize("file", ["../secret.png", "/etc/passwd", "sub/../../secret.png", "link.png", "none.png"])
def test_files_that_a_table_names_lie_beside_it(tmp_path, checked, file):
    outside = tmp_path.parent / "secret.png"
    outside.write_bytes(b"x")
    (tmp_path / "link.png").symlink_to(outside)
    found = checked(f"name,face.picture\nAda,{file}\n")
    assert not found.orders
    assert "'face.picture'" in str(found.faults[0])


def test_words_of_two_lines_are_called_in_one(checked):
    (order,) = checked('name\n"Ada\r\nFern"\n').orders
    assert (said(order).split(), order.job.name, order.words) == (["Ada", "Fern"], "Member Ada Fern", "Ada Fern")


def test_words_in_braces_are_words(checked):
    (order,) = checked("name\n{name}\n").orders
    assert said(order) == "{name}"


def test_our_own_tables_hold_no_formula():
    cells = ["=1+1", "+1", "-1", "@x", "\t=1", " =1", "\r=1", "＝1", 'a"b', "a\nb", "plain"]
    rows = list(
        csv.reader(io.StringIO(csv_of(("a", "=b"), [[cell, 1] for cell in cells]).decode("utf-8-sig"), newline=""))
    )
    assert rows[0] == ["a", "'=b"]
    assert [row[0] for row in rows[1:]] == [
        "'" + cell if cell not in ('a"b', "a\nb", "plain") else cell for cell in cells
    ]


def test_words_are_set_smaller_then_closer_then_in_two_lines(template):
    def fitted(words):
        return fill_template(template, {"name": words}).pieces[0]

    assert fitted("Ada").cap_height == 5.0
    smaller = fitted("Bartholomew Oak")
    assert 3.5 <= smaller.cap_height < 5.0
    assert "\n" not in smaller.text
    closer = fitted("Wilhelmina Quarters")
    assert (closer.cap_height, closer.text.count("\n")) == (3.5, 0)
    assert -0.1 <= closer.spacing < 0
    broken = fitted("Wilhelmina Quartermaine Fern")
    assert broken.text == "Wilhelmina\nQuartermaine Fern"
    with pytest.raises(JobError, match="such characters fit"):
        fitted("Wilhelmina-Quartermaine-Featherstonehaugh")


@pytest.mark.parametrize(
    ("rule", "value"), [("fits", "-1"), ("most_lines", "true"), ("smallest", '"x"'), ("narrowest", "1e9")]
)
def test_a_rule_that_is_none_is_refused(tmp_path, rule, value):
    (tmp_path / "t.toml").write_text(f'[[pieces]]\nkind = "lettering"\ntext = "{{name}}"\n{rule} = {value}\n')
    with pytest.raises(JobError, match=rule):
        read_template(tmp_path / "t.toml")


@given(st.binary(max_size=300))
def test_no_bytes_are_too_odd_to_be_read_or_refused(tmp_path_factory, data):
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_bytes(data)
    try:
        told = [str(fault) for fault in read_orders(path).faults]
    except OrderError as error:
        told = [str(error)]
    assert all("\n" not in line for line in told)


def test_the_command_tells_each_bad_row_and_how_many_are_good(tmp_path, template, capsys):
    (tmp_path / "o.csv").write_text("name,count\nAda,1\nBo,x\n", encoding="utf-8")
    arguments = ["orders", "check", str(tmp_path / "o.csv"), "--template", str(tmp_path / "t.toml")]
    assert main(arguments) == 1
    out, err = capsys.readouterr()
    assert err == "stampwright: row 3, 'count' = 'x': it takes a whole number from 1 to 10,000\n"
    assert "1 of 2 rows can be made" in out
    assert main([*arguments, "--json"]) == 1
    assert json.loads(capsys.readouterr().out)[0]["row"] == 3


def test_artwork_in_a_table_is_read_before_anything_is_built(tmp_path):
    (tmp_path / "t.toml").write_text("[base]\nwidth = 40.0\n")
    (tmp_path / "good.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h9v9z"/></svg>')
    (tmp_path / "bad.svg").write_text("<svg")
    (tmp_path / "o.csv").write_text("artwork,order\ngood.svg,a\nbad.svg,b\n,c\n")
    found = check_orders(read_orders(tmp_path / "o.csv"), read_template(tmp_path / "t.toml"), tmp_path)
    assert [order.name for order in found.orders] == ["a"]
    assert [fault.row for fault in found.faults] == [3, 4]
    assert "names no artwork" in str(found.faults[1])


def test_a_mark_in_a_place_is_a_file_beside_the_table(tmp_path):
    (tmp_path / "in").mkdir()
    (tmp_path / "t.toml").write_text('[[pieces]]\nkind = "mark"\nfile = "{mark}"\n[[pieces]]\nkind = "ring"\n')
    (tmp_path / "in" / "good.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h9v9z"/></svg>')
    (tmp_path / "secret.svg").write_text((tmp_path / "in" / "good.svg").read_text())
    (tmp_path / "in" / "o.csv").write_text("mark,order\ngood.svg,a\n../secret.svg,b\n")
    template = read_template(tmp_path / "t.toml")
    found = check_orders(read_orders(tmp_path / "in" / "o.csv"), template, tmp_path / "in")
    assert [order.job.pieces[0].file for order in found.orders] == [str((tmp_path / "in" / "good.svg").resolve())]
    assert "leads out of the table's folder" in str(found.faults[0])


@pytest.mark.parametrize(
    "job", ["[base]\nwidth = 9999", "[[printers]]\nname = 3", '[[pieces]]\nkind = "ring"\ndots = -1']
)
def test_a_template_that_is_wrong_itself_is_told_of_once(tmp_path, job):
    (tmp_path / "t.toml").write_text(f'name = "{{name}}"\n{job}\n')
    (tmp_path / "o.csv").write_text("name\nAda\nBo\n")
    with pytest.raises(OrderError, match="the template 't'"):
        check_orders(read_orders(tmp_path / "o.csv"), read_template(tmp_path / "t.toml"), tmp_path)


@pytest.mark.parametrize("name", ["text; name", 'a "b"; c', "plain"])
def test_a_table_of_ours_is_read_again_whatever_its_columns_are_called(name, tmp_path):
    path = tmp_path / "orders.csv"
    path.write_bytes(csv_of((name,), [("Rowan; Bell",), ("a,b\tc",)]))
    table = read_orders(path)
    assert table.columns == (name.strip(),)
    assert [row.cells[name] for row in table.rows] == ["Rowan; Bell", "a,b\tc"]
