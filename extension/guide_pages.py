"""Turns the guide's pages into HTML that any browser opens from disk, offline.

Only what the guide's sources use is understood: headings, paragraphs, lists, tables and pictures, with
bold, italic, code and links inside.  Nothing is fetched, nothing runs.
"""
from __future__ import annotations

import html
import re
from collections.abc import Iterator

_CODE, _BOLD, _ITALIC = re.compile(r"`([^`]+)`"), re.compile(r"\*\*(.+?)\*\*"), re.compile(r"\*(.+?)\*")
_PICTURE, _LINK = re.compile(r"!\[([^\]]*)\]\(([^)\s]+)\)"), re.compile(r"\[([^\]]+)\]\(([^)\s]+)\)")
_HEADING, _ITEM = re.compile(r"(#{1,4}) +(.*)"), re.compile(r"(-|\d+\.) +(.*)")
_RULE_OF_A_TABLE = re.compile(r"\|(\s*:?-+:?\s*\|)+")

_PAGE = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>
body {{ font: 1.05em/1.5 "Liberation Sans", Arial, Helvetica, sans-serif; color: #111; background: #fff;
  max-width: 46em; margin: 0 auto; padding: 1em }}
a {{ color: #1d3c78 }}
img {{ max-width: 100%; height: auto; border: 1px solid #ccc }}
.wide {{ overflow-x: auto }}
table {{ border-collapse: collapse }}
th, td {{ border: 1px solid #999; padding: .3em .6em; text-align: left; vertical-align: top }}
code {{ background: #eee; padding: 0 .2em }}
@media print {{ img, tr {{ break-inside: avoid }} h2, h3 {{ break-after: avoid }} }}
</style>
</head>
<body>
<main>
{body}
</main>
</body>
</html>
"""


def guide_page(source: str) -> str:
    """Return one page of the guide as an HTML document; links to other pages (.md) lead to theirs (.html)."""
    blocks = list(_blocks(source))
    title = next((block for block in blocks if block.startswith("<h1")), "Tiered Sleeve")
    return _PAGE.format(title=re.sub(r"<[^>]+>", "", title), body="\n".join(blocks))


def _blocks(source: str) -> Iterator[str]:
    """Yield the blocks of a page, each as HTML."""
    for block in re.split(r"\n\s*\n", source.strip()):
        rows = block.splitlines()
        while rows:
            taken = _how_many_belong_together(rows)
            yield _block(rows[:taken])
            rows = rows[taken:]


def _kind(row: str) -> str:
    if _HEADING.fullmatch(row):
        return "heading"
    if row.startswith("|"):
        return "table"
    return "list" if _ITEM.match(row) else "text"


def _how_many_belong_together(rows: list[str]) -> int:
    """Return how many rows make one block; a row of text that follows an item belongs to it."""
    kind = _kind(rows[0])
    if kind == "heading":
        return 1
    kinds = {"table": {"table"}, "list": {"list", "text"}, "text": {"text"}}[kind]
    return next((k for k, row in enumerate(rows) if _kind(row) not in kinds), len(rows))


def _block(rows: list[str]) -> str:
    kind = _kind(rows[0])
    if kind == "heading":
        marks, words = _HEADING.fullmatch(rows[0]).groups()
        level = len(marks)
        return f'<h{level} id="{_anchor(words)}">{_inline(words)}</h{level}>'
    if kind == "table":
        return _table(rows)
    if kind == "list":
        return _list(rows)
    return f"<p>{_inline(' '.join(rows))}</p>"


def _anchor(words: str) -> str:
    """Return the name of a heading to link to, as the sources' own links expect it."""
    return re.sub(r"[^\w\- ]", "", words.lower()).replace(" ", "-")


def _list(rows: list[str]) -> str:
    items: list[str] = []
    for row in rows:
        item = _ITEM.match(row)
        if item:
            items.append(item[2])
        else:
            items[-1] += " " + row.strip()
    tag = "ul" if rows[0].startswith("-") else "ol"
    return f"<{tag}>\n" + "\n".join(f"<li>{_inline(item)}</li>" for item in items) + f"\n</{tag}>"


def _table(rows: list[str]) -> str:
    """Return a table; one that is wider than the screen scrolls by itself, by key too."""
    cells = [[cell.strip() for cell in row.strip().strip("|").split("|")] for row in rows if not _RULE_OF_A_TABLE.fullmatch(row.strip())]
    head = "".join(f'<th scope="col">{_inline(cell)}</th>' for cell in cells[0])
    body = "\n".join("<tr>" + "".join(f"<td>{_inline(cell)}</td>" for cell in row) + "</tr>" for row in cells[1:])
    return f'<div class="wide" tabindex="0">\n<table>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{body}\n</tbody>\n</table>\n</div>'


def _inline(text: str) -> str:
    """Return one run of words as HTML; what stands between backticks is left as it is."""
    parts = _CODE.split(text)
    return "".join(f"<code>{html.escape(part)}</code>" if k % 2 else _marked_up(html.escape(part, quote=False)) for k, part in enumerate(parts))


def _marked_up(text: str) -> str:
    text = _PICTURE.sub(lambda found: f'<img src="{found[2]}" alt="{html.escape(html.unescape(found[1]))}">', text)
    text = _LINK.sub(lambda found: f'<a href="{_target(found[2])}">{found[1]}</a>', text)
    return _ITALIC.sub(r"<em>\1</em>", _BOLD.sub(r"<strong>\1</strong>", text))


def _target(address: str) -> str:
    page, mark, anchor = address.partition("#")
    return re.sub(r"\.md$", ".html", page) + mark + anchor
