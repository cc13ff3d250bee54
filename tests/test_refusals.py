"""Every refusal has its sentence, every sentence is said, and what it tells is given."""
from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from string import Formatter
from typing import NamedTuple

import pytest

from extension.wording.refusals import TEMPLATES
from tests.host import REPOSITORY

#: Whether a refusal may still be a whole sentence of its own.  The last room to move sets this to False,
#: and from then on a rule without a template, or one that is not written out, fails.
SENTENCES_ARE_LEFT = False

#: Calls whose first argument names a rule: the refusals themselves.
BASES = ("Refused", "Problem")


class Raised(NamedTuple):
    """A rule that is named in the code: where, what it is (None: not written out), and which facts it is given (None: can't be told)."""

    where: str
    rule: str | None
    facts: frozenset[str] | None


def raised(sources: dict[str, str]) -> list[Raised]:
    """Return every rule that is raised in the sources, by file name."""
    trees = {name: ast.parse(text) for name, text in sources.items()}
    names = set(BASES)
    while True:  # refusals of a more particular kind, and those of these
        more = {
            node.name for tree in trees.values() for node in ast.walk(tree)
            if isinstance(node, ast.ClassDef) and any(_name(base) in names for base in node.bases)
        }  # fmt: skip
        if more <= names:
            break
        names |= more
    return [found for name, tree in trees.items() if not name.endswith("geometry/refusal.py") for found in _calls(name, tree, names)]


def _calls(name: str, tree: ast.AST, names: set[str]) -> Iterator[Raised]:
    within: dict[ast.Call, dict[str, list[ast.expr]]] = {}
    for place in (tree, *(node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))):  # the innermost comes last
        rules: dict[str, list[ast.expr]] = {}
        for node in ast.walk(place):
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
                rules.setdefault(node.targets[0].id, []).append(node.value)
        within.update({node: rules for node in ast.walk(place) if isinstance(node, ast.Call)})
    for call, rules in within.items():
        if not isinstance(call, ast.Call) or _name(call.func) not in names or not call.args:
            continue
        rule, *rest = call.args
        if isinstance(rule, ast.Starred):
            continue
        if isinstance(rule, ast.Attribute) and _name(call.func) == "Problem":  # a part of a sentence that is chosen by a name
            continue
        given: set[str | None] = {keyword.arg for keyword in call.keywords}
        if rest:
            known = isinstance(rest[0], ast.Dict)
            given |= {key.value if isinstance(key, ast.Constant) else None for key in rest[0].keys} if known else {None}
        # Which of several rules of one form it is, and so what that one tells, is known only when it is raised.
        facts = None if None in given or isinstance(rule, ast.JoinedStr) else frozenset(fact for fact in given if fact)
        for each in _written_out(rule, rules):
            yield Raised(f"{name}:{call.lineno}", each, facts)


def _written_out(rule: ast.expr, rules: dict[str, list[ast.expr]]) -> Iterator[str | None]:
    """Yield what a rule may be: one of two, what a name of the same file stands for, or the templates of that form."""
    if isinstance(rule, ast.IfExp):
        yield from _written_out(rule.body, rules)
        yield from _written_out(rule.orelse, rules)
    elif isinstance(rule, ast.Name) and rule.id in rules:
        for value in rules[rule.id]:
            yield from _written_out(value, {})
    elif isinstance(rule, ast.JoinedStr):
        yield from _of_form(rule) or [None]
    else:
        yield rule.value if isinstance(rule, ast.Constant) and isinstance(rule.value, str) else None


def _of_form(rule: ast.JoinedStr) -> list[str]:
    """Return the templates whose rule has the form of an f-string: what is written out in it and something in each gap."""
    form = "".join(re.escape(part.value) if isinstance(part, ast.Constant) else r"[\w ]+" for part in rule.values)
    return [name for name in TEMPLATES if re.fullmatch(form, name)]


def _name(expression: ast.expr) -> str:
    return expression.attr if isinstance(expression, ast.Attribute) else expression.id if isinstance(expression, ast.Name) else ""


def fields(template: str) -> set[str]:
    """Return the facts that a template tells."""
    return {field.split(".")[0].split("[")[0] for _, field, _, _ in Formatter().parse(template) if field is not None}


def untold(found: list[Raised], templates: dict[str, str]) -> list[str]:
    """Return what is raised without a sentence, or with facts that its sentence lacks."""
    wrong = []
    for where, rule, facts in found:
        if rule is None or rule not in templates:
            wrong.append(f"{where}: no sentence for {rule or 'a rule that is not written out'}")
        elif facts is not None and not fields(templates[rule]) <= facts:
            wrong.append(f"{where}: {rule} is not given {sorted(fields(templates[rule]) - facts)}")
    return wrong


def is_sentence(found: Raised) -> bool:
    """Whether a refusal has not moved yet: its words are put together where it is raised."""
    return found.rule is None or found.rule.rstrip().endswith((".", "?"))


SOURCES = {
    str(path.relative_to(REPOSITORY)): path.read_text("utf-8")
    for package in ("geometry", "extension") for path in sorted(Path(REPOSITORY, package).rglob("*.py"))
}  # fmt: skip
FOUND = raised(SOURCES)


def test_every_refusal_has_its_sentence():
    looked_at = [found for found in FOUND if not (SENTENCES_ARE_LEFT and is_sentence(found))]
    assert untold(looked_at, dict(TEMPLATES)) == []


def test_every_sentence_is_said():
    named = {found.rule for found in FOUND}
    for name, text in SOURCES.items():
        if not name.endswith("wording/refusals.py"):  # a rule may also come out of a table
            named |= {node.value for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    assert set(TEMPLATES) - named == set()


def test_no_refusal_is_a_sentence_of_its_own():
    """While some are, the switch above says so; when the last has moved, it must be turned."""
    left = [found.where for found in FOUND if is_sentence(found)]
    assert bool(left) == SENTENCES_ARE_LEFT, left


def test_a_sentence_is_filled_in_by_fact():
    """Named fields only, and no two blanks where lines of the source were put together."""
    for rule, template in TEMPLATES.items():
        assert "" not in fields(template) and not any(field.isdigit() for field in fields(template)), rule
        assert "  " not in template, rule


@pytest.mark.parametrize(
    ("source", "wrong"),
    [
        ('raise Refused("hem too narrow", girth=80.0)', 0),
        ('raise Refused("hem too narrow")', 1),
        ('raise Refused("hem too narrow", width=80.0)', 1),
        ('raise Refused("hem too wide", girth=80.0)', 1),
        ("raise Refused(rule, girth=80.0)", 1),
        ('raise refusal.Refused("hem too narrow" if x else "hem too wide", girth=1.0)', 1),
        ('Problem("hem too narrow", {"girth": 80.0})', 0),
        ('Problem("hem too narrow", {"width": 80.0})', 1),
        ('class Broken(Refused): pass\nclass Torn(Broken): pass\nraise Torn("gap", girth=1.0)', 1),
        ('raise Refused(f"Hem: {girth} is too narrow.")', 1),
        ('raise Refused("hem too narrow", **facts)', 0),
        ('rule = "hem too narrow" if x else "hem too wide"\nraise Refused(rule, girth=1.0)', 1),
    ],
)
def test_what_is_amiss_is_seen(source, wrong):
    found = raised({"extension/some.py": source})
    assert found and len(untold(found, {"hem too narrow": "The hem of {girth:up} is too narrow."})) == wrong
