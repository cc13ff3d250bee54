"""The harness itself: what the other tests in the editor rely on, tried with a throw-away effect."""
from __future__ import annotations

from pathlib import Path

import pytest

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm"><rect id="hers" width="9" height="9"/></svg>'

INX = """<?xml version="1.0" encoding="UTF-8"?>
<inkscape-extension xmlns="http://www.inkscape.org/namespace/inkscape/extension">
  <name>Trial</name><id>org.tieredsleeve.a_trial</id>
  <param name="word" type="string" gui-text="Word">plain</param>
  <param name="flag" type="bool" gui-text="Flag">false</param>
  <effect><object-type>all</object-type><effects-menu><submenu name="Tiered Sleeve"/></effects-menu></effect>
  <script><command location="inx" interpreter="python">trial.py</command></script>
</inkscape-extension>
"""

SCRIPT = """
import inkex

class Trial(inkex.EffectExtension):
    def add_arguments(self, pars):
        pars.add_argument("--word", default="")
        pars.add_argument("--flag", type=inkex.Boolean)

    def effect(self):
        if self.options.word == "no":
            raise inkex.AbortExtension("That won’t do.")
        layer = inkex.Layer.new(self.options.word)
        layer.desc = f"{self.options.flag} {list(self.svg.selection.ids)}"
        self.svg.append(layer)

if __name__ == "__main__":
    Trial().run()
"""


@pytest.fixture
def trial(tmp_path: Path) -> Path:
    (tmp_path / "trial.inx").write_text(INX, encoding="utf-8")
    (tmp_path / "trial.py").write_text(SCRIPT, encoding="utf-8")
    return tmp_path


def test_an_effect_gets_the_options_and_the_selection(editor, trial):
    done = editor.run(
        "org.tieredsleeve.a_trial",
        SVG,
        {"word": 'a "½" <word>', "flag": True},
        select=["hers"],
        export=["svg", "plain-svg", "pdf", "png"],
        extensions=trial,
    )
    assert not done.refused and done.statuses == [0]
    assert "a &quot;½&quot; &lt;word&gt;" in done.svg
    assert "True ['hers']" in done.svg
    assert done.files["pdf"].read_bytes().startswith(b"%PDF")
    assert done.files["png"].read_bytes().startswith(b"\x89PNG")
    assert "inkscape:label" not in done.files["plain-svg"].read_text(encoding="utf-8")


def test_an_effect_that_says_no_is_seen_and_changes_nothing(editor, trial):
    done = editor.run("org.tieredsleeve.a_trial", SVG, {"word": "no"}, extensions=trial)
    assert done.refused and "That won’t do." in done.messages
    assert done.svg.count("<g") == 0 and 'id="hers"' in done.svg


def test_further_actions_run_before_and_after(editor, trial):
    done = editor.run(
        "org.tieredsleeve.a_trial", SVG, select=["hers"], before=["duplicate"], after=["select-all", "delete"], extensions=trial
    )
    assert "<rect" not in done.svg


def test_the_script_runs_alone_in_both_pythons(run_effect_everywhere, trial):
    done = run_effect_everywhere(trial / "trial.py", {"word": "½", "flag": False}, SVG, select=["hers"])
    assert (done.returncode, done.stderr) == (0, "")
    assert "½" in done.stdout or "&#189;" in done.stdout
    refused = run_effect_everywhere(trial / "trial.py", {"word": "no"}, SVG)
    assert refused.stdout == "" and "That won’t do." in refused.stderr
