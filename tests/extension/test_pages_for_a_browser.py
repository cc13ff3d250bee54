"""The job sheet, the quote, the working and the guide as a browser shows them: axe-core finds no violation, a phone no page that is too wide.

axe-core 4.4 (Deque, MPL 2.0; carried by the PyPI package axe-core-python) checks the Web Content Accessibility
Guidelines 2.1, A and AA, and what it calls best practice.
"""
from __future__ import annotations

import html
import json
import re
import shutil
import subprocess
from importlib import util
from pathlib import Path

import pypdfium2
import pytest

from extension.cutting_plan import CuttingPlan
from extension.demo import applied, drafted
from extension.guide_pages import guide_page
from tests.host import REPOSITORY, missing

#: What a job can write for a browser.
PAGES = ["job-sheet", "quote", "working"]
#: A small phone: css px.
PHONE = 360

ASK_AXE = """
<script>{axe}</script>
<script>axe.run().then(found => {{
  const said = document.createElement("pre");
  said.id = "axe-says";
  said.textContent = JSON.stringify({{violations: found.violations.map(v => [v.id, v.nodes.map(n => n.html)]), passes: found.passes.length,
    wide: document.documentElement.scrollWidth}});
  document.body.appendChild(said);
}});</script>
"""


@pytest.fixture(scope="module")
def browser() -> str:
    found = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if found is None:
        missing("Chromium")
    return found


@pytest.fixture(scope="module")
def job(tmp_path_factory) -> dict[str, str]:
    """The pages of a job with everything on it, by the ends of their names."""
    folder = tmp_path_factory.mktemp("job")
    options = ["--drop=4 in; 4 in; 2 1/2 in; 4 in; 4 in; 4 in; 3 1/4 in", "--contrast_layers=1", "--net_price=4.50", "--hourly=20"]
    applied(CuttingPlan(), [*options, "--show_working=true", f"--job_sheet_folder={folder}"], drafted(["--tiers=7"]))
    return {file.stem.split("invented-")[-1]: file.read_text("utf-8") for file in folder.glob("*.html")}


def told(browser: str, page: str, folder: Path, width: int = 1000) -> dict:
    """Run axe-core in a page; return the violations, how many rules passed and how wide the page is."""
    spec = util.find_spec("axe_core_python")
    if spec is None:
        missing("axe-core-python")
    axe = (Path(spec.submodule_search_locations[0]) / "axe.min.js").read_text("utf-8")
    file = folder / "page.html"
    file.write_text(page.replace("</body>", ASK_AXE.format(axe=axe) + "</body>"), encoding="utf-8")
    words = ["--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={folder / 'browser'}", f"--window-size={width},800"]
    words += ["--virtual-time-budget=20000", "--dump-dom", file.as_uri()]
    done = subprocess.run([browser, *words], capture_output=True, text=True, timeout=120, check=True)
    said = re.search(r'<pre id="axe-says">(.*?)</pre>', done.stdout, re.DOTALL)
    assert said, done.stderr[-500:]
    return json.loads(html.unescape(said[1]))


@pytest.mark.parametrize("name", PAGES)
def test_no_violation_in_the_pages_of_a_job(browser, job, name, tmp_path):
    said = told(browser, job[name], tmp_path)
    assert said["violations"] == []
    assert said["passes"] >= 10


@pytest.mark.parametrize("name", sorted(page.stem for page in (REPOSITORY / "docs").glob("*.md")))
def test_no_violation_in_the_guide(browser, name, tmp_path):
    said = told(browser, guide_page((REPOSITORY / "docs" / f"{name}.md").read_text("utf-8")), tmp_path)
    assert said["violations"] == []
    assert said["passes"] >= 10


def test_axe_finds_what_is_wrong(browser, tmp_path):
    page = '<!DOCTYPE html><html><head><title>x</title></head><body><img src="x.png"><p style="color:#ccc">pale</p></body></html>'
    assert {"image-alt", "html-has-lang", "color-contrast"} <= {rule for rule, _ in told(browser, page, tmp_path)["violations"]}


@pytest.mark.parametrize("name", PAGES)
def test_a_phone_scrolls_tables_and_not_the_page(browser, job, name, tmp_path):
    """Shown in a frame as wide as a phone, since the browser's own window has a least width."""
    frame = f'<iframe id="phone" style="width:{PHONE}px;height:700px;border:0" srcdoc="{html.escape(job[name])}"></iframe>'
    script = (
        '<script>onload = () => { document.title = document.getElementById("phone").contentDocument.documentElement.scrollWidth }</script>'
    )
    file = tmp_path / "frame.html"
    file.write_text(f"<!DOCTYPE html><html><body>{frame}{script}</body></html>", encoding="utf-8")
    words = ["--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={tmp_path / 'browser'}", "--virtual-time-budget=5000"]
    done = subprocess.run([browser, *words, "--dump-dom", file.as_uri()], capture_output=True, text=True, timeout=120, check=True)
    assert int(re.search(r"<title>(\d+)</title>", done.stdout)[1]) <= PHONE


def test_no_picture_is_parted_by_the_end_of_a_page(browser, job, tmp_path):
    """Printed on A4, every picture lies whole on one sheet, as high as the page says."""
    file, pdf = tmp_path / "page.html", tmp_path / "page.pdf"
    marked = re.sub(r'<svg[^>]*viewBox="([^"]+)"[^>]*>', _with_a_mark, job["job-sheet"])
    file.write_text(marked, encoding="utf-8")
    words = ["--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={tmp_path / 'browser'}", "--no-pdf-header-footer"]
    subprocess.run([browser, *words, f"--print-to-pdf={pdf}", file.as_uri()], capture_output=True, timeout=120, check=True)
    sizes = [tuple(map(float, each)) for each in re.findall(r'<svg[^>]*width="([\d.]+)mm" height="([\d.]+)mm"', job["job-sheet"])]
    found = []
    for page in pypdfium2.PdfDocument(pdf):
        image = page.render(scale=1).to_numpy()[:, :, :3].astype(int)
        purple = (image[:, :, 1] < 40) & (image[:, :, 0] > 200) & (image[:, :, 2] > 200)
        rows = purple.any(axis=1)
        found += [len(run) * 25.4 / 72 for run in "".join("x" if row else " " for row in rows).split()]
    assert found == pytest.approx([height - 2 for _, height in sizes], abs=0.8)  # a px is 0.35 mm


def _with_a_mark(opening: re.Match) -> str:
    """A picture filled with purple but for a millimetre at its upper and lower edge."""
    left, top, width, height = map(float, opening[1].split())
    return f'{opening[0]}<rect x="{left}" y="{top + 1}" width="{width}" height="{height - 2}" fill="#fe01fe"/>'
