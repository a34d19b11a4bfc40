"""Promises to the shop: one order made by the command, and every paper of it read by others' programs."""

import csv
import io

import pypdfium2
import pytest
from PIL import Image
from stampwright.cli import main
from stampwright.files import read_stl
from stampwright.job.sections.printing import PriceSection
from stampwright.orders.shop.contact import contact_sheet
from stampwright.orders.shop.pricing import price_of
from stampwright.orders.shop.rows import ShopRow

from ..watching.browser import CHROMIUM, Browser
from .conftest import TEMPLATE, tree

TABLE = "order,name,count,rush,customer\nA1,ADA,2,,=cmd()\nB1,BO,1,yes,The Marshes\nC1,CY,x,,The Mill\n"


@pytest.fixture(scope="module")
def order(tmp_path_factory):
    """An order of three rows, of which one is bad, made by the command."""
    folder = tmp_path_factory.mktemp("order")
    (folder / "t.toml").write_text(TEMPLATE, encoding="utf-8")
    (folder / "o.csv").write_text(TABLE, encoding="utf-8")
    (folder / "p.toml").write_text('[[printers]]\nname = "Oak"\ncount = 2\n', encoding="utf-8")
    words = ["orders", "make", folder / "o.csv", "--template", folder / "t.toml", "-o", folder / "out", "--workers", 1]
    words = [*map(str, words), "--printers", str(folder / "p.toml")]
    assert main(words) == 1
    assert not (folder / "out").exists()
    assert main([*words, "--keep-going"]) == 1
    before = tree(folder / "out")
    assert main([*words, "--keep-going"]) == 1
    assert tree(folder / "out") == before
    return folder / "out"


def test_a_folder_has_what_beds_and_shop_need(order):
    names = {path.name for path in (order / "stamps" / "A1").iterdir()}
    assert names >= {"die.stl", "backing.stl", "handle.stl", "impression.png", "proof.svg", "ticket.html", "job.json"}
    assert {path.name for path in (order / "stamps").iterdir()} == {"A1", "B1"}
    assert {path.name for path in order.iterdir()} - {".lock"} == {
        "beds", "contact.html", "customers.pdf", "order.json", "picking.csv", "schedule.svg", "stamps", "summary.csv",
    }  # fmt: skip


def test_a_stamp_of_an_order_is_made_again_from_its_folder(order, tmp_path):
    again = ["make", "--job", str(order / "stamps" / "A1" / "job.json"), "-o", str(tmp_path / "again")]
    assert main(again) == 0
    assert (tmp_path / "again" / "die.stl").read_bytes() == (order / "stamps" / "A1" / "die.stl").read_bytes()


def test_the_summary_tells_of_every_row_and_holds_no_formula(order):
    rows = list(csv.DictReader(io.StringIO((order / "summary.csv").read_text(encoding="utf-8-sig"))))
    assert [(row["order"], row["state"], row["count"]) for row in rows] == [
        ("A1", "made", "2"), ("B1", "made", "1"), ("C1", "bad row", "0"),
    ]  # fmt: skip
    assert rows[0]["customer"] == "'=cmd()"
    assert float(rows[0]["price of all"]) == pytest.approx(2 * float(rows[0]["price"]), abs=0.01)
    assert "'count' = 'x'" in rows[2]["why"]
    assert rows[2]["customer"] == "The Mill"


def test_the_picking_list_has_every_part_of_every_copy_once(order):
    rows = list(csv.DictReader(io.StringIO((order / "picking.csv").read_text(encoding="utf-8-sig"))))
    found = sorted((row["stamp"], row["part"], row["copy"]) for row in rows)
    parts = ("backing", "die", "handle")
    assert found == sorted(
        (stamp, part, copy) for stamp, copy in (("A1", "1"), ("A1", "2"), ("B1", "1")) for part in parts
    )
    assert {row["printer"] for row in rows} == {"Oak 1", "Oak 2"}
    assert [row["rush"] for row in rows if row["stamp"] == "B1"] == ["yes"] * 3


def test_each_bed_is_read_by_the_reference_reader_without_a_warning(order):
    lib3mf = pytest.importorskip("lib3mf")
    names = []
    for path in sorted((order / "beds").glob("*.3mf")):
        model = lib3mf.get_wrapper().CreateModel()
        reader = model.QueryReader("3mf")
        reader.SetStrictModeActive(True)
        reader.ReadFromFile(str(path))
        assert reader.GetWarningCount() == 0
        objects = model.GetMeshObjects()
        while objects.MoveNext():
            mesh = objects.GetCurrentMeshObject()
            names.append(mesh.GetName())
            stamp, part = mesh.GetName().split()[:2]
            assert mesh.GetTriangleCount() == len(read_stl(order / "stamps" / stamp / f"{part}.stl").triangles)
        box = model.GetOutbox()
        assert min(box.MinCoordinate[0], box.MinCoordinate[1]) >= 5 - 1e-3
        assert max(box.MaxCoordinate[0], box.MaxCoordinate[1]) <= 215 + 1e-3
        assert box.MinCoordinate[2] == pytest.approx(0, abs=1e-4)
    parts = ("die", "backing", "handle")
    assert sorted(names) == sorted(
        [*(f"A1 {part}" for part in parts), *(f"A1 {part} 2" for part in parts), *(f"B1 {part}" for part in parts)]
    )


def test_the_customers_pages_are_one_document_with_a_page_each(order):
    pages = pypdfium2.PdfDocument(order / "customers.pdf")
    assert len(pages) == 2
    seen = [Image.fromarray(page.render().to_numpy()).convert("L") for page in pages]
    assert all(page.getextrema()[0] < 100 for page in seen)
    assert b"00000000000000000000000000000000" not in (order / "customers.pdf").read_bytes()[-400:]


@pytest.mark.skipif(CHROMIUM is None, reason="takes Chromium")
def test_the_contact_sheet_works_from_disk_in_a_real_browser(order, tmp_path):
    def shown(browser):
        return browser.value(
            "[...document.querySelectorAll('article:not([hidden]) h2 bdi')].map(e=>e.textContent).join()"
        )

    with Browser(tmp_path / "profile", (order / "contact.html").as_uri()) as browser:
        browser.wait_for("document.readyState == 'complete' && document.querySelectorAll('article').length == 3")
        assert shown(browser) == "ADA,BO,row 4"
        assert browser.value("document.images.length") == 2
        browser.wait_for("[...document.images].every(each => each.complete && each.naturalWidth > 20)")
        browser.value("words.value = 'marshes'; words.dispatchEvent(new Event('input'))")
        assert shown(browser) == "BO"
        browser.value("words.value = ''; words.dispatchEvent(new Event('input'))")
        browser.value("document.querySelector('#states input[value=made]').click()")
        assert shown(browser) == "row 4"
        assert browser.value("document.getElementById('shown').textContent") == "1 of 3"


def test_nothing_that_a_table_says_is_obeyed_by_the_sheet():
    evil = "</script><script>alert(1)</script>\"'><img src=x onerror=alert(1)>"
    row = ShopRow(1, evil, evil, evil, evil, 1, False, "blocked", why=evil, findings=(evil,), beds=(evil,))
    sheet = contact_sheet(evil, [evil], [row], lambda name: None)
    assert sheet.count("<script>") == 1
    assert "<img" not in sheet


def test_the_price_follows_its_rule():
    rule = PriceSection(machine_per_hour=2.0, hand_minutes=30.0, hand_per_hour=20.0, margin=0.25)
    assert price_of(rule, 1.5, 90.0) == pytest.approx((1.5 + 3.0 + 10.0) * 1.25, abs=0.006)
