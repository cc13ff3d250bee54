"""The guide's command opens the installed page and nothing else, and says where it is where nothing can open it."""
from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time

import pytest

from extension.install import install
from extension.wording.guide import open_it_yourself


@pytest.fixture
def installed(tmp_path):
    return install(tmp_path / "there" / "extensions")[0]


def run(installed, tmp_path, path):
    """Run the installed command as the host does, which waits until its output is closed; return what it said."""
    environment = {**os.environ, "PATH": str(path)}
    script = installed / "extension" / "open_guide.py"
    return subprocess.run([sys.executable, script, os.devnull], capture_output=True, text=True, env=environment, timeout=7, check=False)


@pytest.mark.skipif(sys.platform != "linux", reason="how Linux opens a page")
def test_the_system_is_asked_to_open_the_page_and_the_editor_need_not_wait(installed, tmp_path):
    asked, programs = tmp_path / "asked", tmp_path / "programs"
    programs.mkdir()
    (programs / "xdg-open").write_text(f'#!/bin/sh\necho "$1" > {asked}.new; mv {asked}.new {asked}; echo noise; sleep 8\n')
    (programs / "xdg-open").chmod(0o755)
    for tool in ("mv", "sleep"):
        (programs / tool).symlink_to(shutil.which(tool))
    done = run(installed, tmp_path, programs)
    assert (done.stdout, done.stderr, done.returncode) == ("", "", 0)
    until = time.monotonic() + 5
    while not asked.exists() and time.monotonic() < until:
        time.sleep(0.05)
    assert asked.read_text().strip() == str(installed / "guide" / "guide.html")
    assert (installed / "guide" / "guide.html").is_file()


@pytest.mark.skipif(sys.platform != "linux", reason="how Linux opens a page")
def test_where_nothing_opens_pages_she_is_told_which_file_it_is(installed, tmp_path):
    done = run(installed, tmp_path, tmp_path)
    assert done.stdout == "" and done.stderr.strip().endswith(f"Open this file in your browser: {installed / 'guide' / 'guide.html'}")


@pytest.mark.skipif(sys.platform != "linux", reason="how Linux opens a page")
def test_where_the_system_finds_no_browser_she_is_told_which_file_it_is(installed, tmp_path):
    """xdg-open(1): exit status 3, a required tool could not be found."""
    programs = tmp_path / "programs"
    programs.mkdir()
    (programs / "xdg-open").write_text("#!/bin/sh\necho noise >&2; exit 3\n")
    (programs / "xdg-open").chmod(0o755)
    done = run(installed, tmp_path, programs)
    assert done.stdout == "" and done.stderr.strip() == open_it_yourself(installed / "guide" / "guide.html")


def test_a_guide_that_is_not_there_is_said(installed, tmp_path):
    shutil.rmtree(installed / "guide")
    done = run(installed, tmp_path, tmp_path)
    assert done.stdout == "" and f"The guide is not in {installed / 'guide'}" in done.stderr and "\n" not in done.stderr.strip()
