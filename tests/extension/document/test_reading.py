"""A sleeve read back from the document, for the commands that work on it."""
from __future__ import annotations

import re

import inkex
import numpy as np
import pytest
from lxml import etree

from extension.demo import applied, drafted
from extension.document.reading import find_sleeve, read_sleeve
from extension.remeasure_sleeve import RemeasureSleeve
from extension.wording.refusals import sentence
from geometry.refusal import Refused
from tests import sleeve_edits as edits
from tests import sleeve_measures as measures

SLEEVE = drafted(["--unit=cm"])


def document(*changes, text: str = SLEEVE):
    root = etree.fromstring(text.encode(), parser=inkex.elements.SVG_PARSER)
    for change in changes:
        change(root)
    return root


def read(root):
    return read_sleeve(find_sleeve(root))


@pytest.mark.parametrize("change", [
    edits.nothing, edits.reverse, edits.start_elsewhere, edits.layer_moved_and_turned, edits.renamed, edits.names_lost,
])  # fmt: skip
def test_what_does_not_change_the_shape_is_no_edit(change):
    assert not read(document(change)).edited


@pytest.mark.parametrize("change", [edits.bulge_front, edits.tier_moved, edits.tier_bent, edits.tiers_layer_moved, edits.seam_moved_in_its_data])
def test_an_edit_is_noticed_until_the_sleeve_is_measured_again(change):
    root = document(change)
    assert read(root).edited
    assert not read(document(text=applied(RemeasureSleeve(), [], etree.tostring(root).decode()))).edited


@pytest.mark.parametrize("change", [edits.layer_in_a_group, edits.seam_grouped, edits.seam_turned_in_its_data, edits.another_unit, edits.many_paths])
def test_lengths_are_true_wherever_the_sleeve_lies(change):
    told = measures.edge_lengths(document(edits.bulge_front))
    outline = read(document(edits.bulge_front, change)).outline
    assert {name: outline.edge(name).length() for name in told} == pytest.approx(told, abs=0.01)


def test_tiers_are_measured_along_the_curve():
    tiers = {tier.number: tier.length for tier in read(document(edits.tier_bent, edits.tier_deleted)).tiers}
    assert sorted(tiers) == [1, 3, 4, 5, 6]
    root = document(edits.tier_bent)
    assert tiers[3] == pytest.approx(measures.length(measures.on_page(edits.tier(root, 3))), abs=0.01)


def test_another_size_is_not_measured_unasked():
    def scale(root):
        layer = edits.part(root, "sleeve")
        layer.set("transform", f"{layer.get('transform')} scale(1.1)")

    with pytest.raises(Refused) as refusal:
        read(document(scale))
    assert re.search("110.0%.*Re-measure After Editing", sentence(refusal.value, "cm"))


def test_a_broken_seam_says_which_command_shows_where():
    with pytest.raises(Refused) as refusal:
        read(document(lambda root: edits.drag(root, (133.35, 476.25), np.array((-300, 0)))))
    assert re.search("crosses or touches itself.*Re-measure After Editing… marks where", sentence(refusal.value, "cm"))


def test_an_ungrouped_sleeve_is_gathered_first():
    with pytest.raises(Refused) as refusal:
        read(document(edits.ungrouped))
    assert re.search("was ungrouped. Run .*Re-measure After Editing", sentence(refusal.value, "cm"))


def test_a_drawing_of_the_first_version_opens():
    """Version 0.1.0 had other names for four options and one choice."""
    drawn = drafted(["--unit=cm", "--cap_height=11", "--top_edge_raise=0.5", "--spacing=growing 1.1", "--armhole_keep=height"])
    names = {"cap_height": "cap_depth", "top_edge_raise": "head_raise", "spacing_snap": "pitch_snap", "spacing": "pitches"}
    earlier = drawn
    for today, then in names.items():
        assert f'"{today}"' in earlier or f"&quot;{today}&quot;" in earlier
        earlier = earlier.replace(f'"{today}"', f'"{then}"').replace(f"&quot;{today}&quot;", f"&quot;{then}&quot;")
    earlier = earlier.replace('"armhole_keep": "height"', '"armhole_keep": "depth"').replace(
        "&quot;armhole_keep&quot;: &quot;height&quot;", "&quot;armhole_keep&quot;: &quot;depth&quot;"
    )
    assert read(document(text=earlier)).typed == read(document(text=drawn)).typed
