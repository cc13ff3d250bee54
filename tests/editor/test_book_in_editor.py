"""Fitting Changes and Client Book inside the real editor, as a dressmaker runs them."""
from __future__ import annotations

from lxml import etree

from tests import sleeve_measures as measures
from tests.extension.test_remeasure import A4, CLOSE

DRAFT, FITTING, BOOK = (f"org.tieredsleeve.{name}" for name in ("draft_sleeve", "fitting_changes", "client_book"))
INCH = 25.4


def root_of(edited):
    assert edited.messages == ""
    return etree.fromstring(edited.svg.encode())


def hem_along_its_arc(root) -> float:
    return measures.edge_lengths(root)["hem"]


def test_a_sleeve_is_let_out_kept_and_drafted_again(editor, tmp_path):
    book = tmp_path / "book.csv"
    drafted = editor.run(DRAFT, A4, {"unit": "in", "label": "Ann"}).svg
    fitted = editor.run(FITTING, drafted, {"hem_front": "3/8", "hem_back": "3/8", "reason": "tight at the hem"}).svg
    before, after = (hem_along_its_arc(etree.fromstring(drawing.encode())) for drawing in (drafted, fitted))
    assert abs(after - before - 0.75 * INCH) < CLOSE
    editor.run(BOOK, fitted, {"book": str(book), "action": "keep"})
    assert "hem_front 3/8 in; hem_back 3/8 in (tight at the hem)" in book.read_text("utf-8")
    root = root_of(editor.run(BOOK, A4, {"book": str(book), "action": "draft", "clients": "Ann"}))
    assert abs(hem_along_its_arc(root) - after) < CLOSE


def test_nested_sizes_are_drawn(editor, tmp_path):
    from tests.extension.book.test_sizes import NAMES, book, size_layers

    file = tmp_path / "sizes.csv"
    file.write_bytes(book())
    root = root_of(editor.run(BOOK, A4, {"book": str(file), "action": "draft", "arrange": "nested", "clients": "Sizes"}))
    assert list(size_layers(root)) == NAMES
