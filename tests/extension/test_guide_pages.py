"""The guide as pages for a browser: everything that its sources say, every link and picture there."""
from __future__ import annotations

import re
from pathlib import Path

import pytest
from lxml import etree, html

from extension.guide_pages import guide_page
from extension.install import GUIDE, install
from tests.host import REPOSITORY

SOURCES = sorted((REPOSITORY / "docs").glob("*.md"))


def words(text: str) -> list[str]:
    return re.findall(r"\w+", text)


@pytest.mark.parametrize("source", SOURCES, ids=lambda file: file.stem)
def test_nothing_is_lost_and_no_mark_is_left(source):
    text = source.read_text(encoding="utf-8")
    page = guide_page(text)
    etree.fromstring(re.sub("<meta[^>]*>|<!DOCTYPE html>|<img[^>]*>", "", page))  # every tag is closed, in order
    read = html.fromstring(page)
    without_addresses = re.sub(r"!\[[^\]]*\]\([^)]*\)", " ", text)
    without_addresses = re.sub(r"\]\([^)]*\)", "] ", without_addresses)
    numbers_of_lists = re.sub(r"(?m)^\d+\. ", "", without_addresses)
    assert words(" ".join(read.find("body").itertext())) == words(numbers_of_lists)
    assert not re.search(r"\*\*|\]\(|^#|^\|", read.find("body").text_content(), re.MULTILINE)
    assert [alt for alt, _ in re.findall(r"!\[([^\]]*)\]\(([^)]*)\)", text)] == [each.get("alt") for each in read.iter("img")]
    assert len(read.findall(".//table")) == len(re.findall(r"(?m)^\|[-|: ]+\|$", text))
    assert len(read.findall(".//tr")) == len(re.findall(r"(?m)^\|", text)) - len(read.findall(".//table"))
    assert len(read.findall(".//li")) == len(re.findall(r"(?m)^(?:-|\d+\.) ", text))


def test_every_link_and_picture_of_the_installed_guide_is_there(tmp_path):
    folder = install(tmp_path / "there" / "extensions")[0] / GUIDE
    pages = {file: html.parse(str(file)) for file in folder.glob("*.html")}
    assert {page.stem for page in pages} == {source.stem for source in SOURCES}
    for file, page in pages.items():
        for address in [*page.xpath("//a/@href"), *page.xpath("//img/@src")]:
            name, _, anchor = address.partition("#")
            target: Path = (file.parent / name).resolve() if name else file
            assert "://" in address or target.is_file(), f"{file.name} leads to {address}"
            if anchor:
                assert pages[target].xpath(f"//*[@id='{anchor}']"), f"{file.name} leads to {address}"


def test_what_a_browser_would_take_for_a_tag_stays_text():
    page = html.fromstring(guide_page("# A & B\n\nType `<b>` *now*: a < b & **c > d**.\n"))
    assert page.find("body").text_content().split() == ["A", "&", "B", "Type", "<b>", "now:", "a", "<", "b", "&", "c", ">", "d."]
    assert [each.text for each in page.iter("code", "em", "strong")] == ["<b>", "now", "c > d"]
