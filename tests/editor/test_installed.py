"""The editor finds and runs what was installed, both ways."""
from __future__ import annotations

import zipfile

import pytest

from extension.install import NAME, install, write_zip

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'


@pytest.mark.parametrize("way", ["command", "unzip"])
def test_an_installed_copy_drafts_a_sleeve(editor, tmp_path, way):
    if way == "command":
        installed = install(tmp_path)
    else:
        write_zip(tmp_path / "sleeve.zip")
        zipfile.ZipFile(tmp_path / "sleeve.zip").extractall(tmp_path)
        installed = tmp_path / NAME
    done = editor.run("org.tieredsleeve.draft_sleeve", SVG, {"label": "Zoë & 袖"}, extensions=installed)
    assert not done.refused, done.messages
    assert "Zoë &amp; 袖" in done.svg
    assert 'inkscape:label="Seam line"' in done.svg
