"""Every dialog says what its script reads and what the tables say: names, words, hints, choices, defaults, types.

That nothing escapes the comparison is itself tried out: everything that a dialog or a script says is made
different, one thing after the other, and each has to be found.
"""
from __future__ import annotations

import argparse
import ast
import copy
import importlib
import re
from collections.abc import Iterator, Mapping
from typing import Callable, NamedTuple

import inkex
import pytest
from lxml import etree

from docs.dialog_pictures import DRAWN
from extension import VERSION
from geometry.measuring.lengths import read_length
from geometry.measuring.measurements import TABLE
from geometry.sleeve.spacing import SPACING_SNAPS
from tests.extension.dialog_words import Said, said
from tests.host import REPOSITORY

INX = "{http://www.inkscape.org/namespace/inkscape/extension}"
#: The command that opens the guide asks nothing, so it has no dialog.
DIALOGS = {path.stem: path for path in sorted((REPOSITORY / "extension").glob("*.inx")) if path.stem != "open_guide"}
#: The order of work, as the help says it.
IN_ORDER = ("draft_sleeve", "remeasure_sleeve", "cutting_plan", "print_pages")
every_dialog = pytest.mark.parametrize("name", DIALOGS)


def dialog(name: str) -> etree._Element:
    return etree.parse(str(DIALOGS[name])).getroot()


def script_options(name: str) -> list[argparse.Action]:
    """Return the script's own options."""
    module = importlib.import_module(f"extension.{name}")
    command = next(
        thing for thing in vars(module).values()
        if isinstance(thing, type) and thing.__module__ == module.__name__ and hasattr(thing, "work")
    )  # fmt: skip
    inherited = {"output", "ids", "selected_nodes", "input_file", "help"}
    return [action for action in command().arg_parser._actions if action.dest not in inherited]


def shown(root: etree._Element) -> list[tuple[str, Said]]:
    """Return every option as the dialog shows it, by name; a list, since a name might stand twice."""
    return [(param.get("name"), _shown(param)) for param in root.iter(f"{INX}param")]


def _shown(param: etree._Element) -> Said:
    options, pages = param.findall(f"{INX}option"), param.findall(f"{INX}page")
    words = [(option.get("value"), option.text) for option in options] + [(page.get("name"), page.get("gui-text")) for page in pages]
    default = param.text or ""
    if words:
        default = next((option.get("value") for option in options if option.get("default") == "true"), words[0][0])
    return Said(
        param.get("type"), param.get("gui-text", ""), param.get("gui-description", ""), default, tuple(words),
        (param.get("min", ""), param.get("max", "")),
    )  # fmt: skip


def differences(root: etree._Element, expected: Mapping[str, Said]) -> list[str]:
    """Return where a dialog says anything else than it should, in a word for each."""
    found = shown(root)
    names = [name for name, _ in found]
    wrong = [f"{name}: in the dialog {names.count(name)} times" for name in {*names, *expected} if names.count(name) != (name in expected)]
    return wrong + [
        f"{name}, {field}: {getattr(now, field)!r} instead of {getattr(expected[name], field)!r}"
        for name, now in found if name in expected for field in Said._fields if getattr(now, field) != getattr(expected[name], field)
    ]  # fmt: skip


def misread(options: list[argparse.Action], expected: Mapping[str, Said]) -> list[str]:
    """Return which options a script reads otherwise than its dialog gives them."""
    names = [option.dest for option in options]
    wrong = [f"{name}: in the script {names.count(name)} times" for name in {*names, *expected} if names.count(name) != (name in expected)]
    for option in options:
        if option.dest not in expected:
            continue
        kind, *_, default, words, _ = expected[option.dest]
        own = {
            "default": option.default, "choices": option.choices and tuple(option.choices), "type": option.type,
            "flags": tuple(option.option_strings),
        }  # fmt: skip
        right = {
            "default": default == "true" if kind == "bool" else default,
            "choices": tuple(value for value, _ in words) if kind == "optiongroup" else None,
            "type": inkex.Boolean if kind == "bool" else None,
            "flags": (f"--{option.dest}",),
        }
        wrong += [
            f"{option.dest}, {what}: {own[what]!r} instead of {right[what]!r}"
            for what in own if own[what] != right[what] or type(own[what]) is not type(right[what])
        ]  # fmt: skip
    return wrong


def test_there_are_all_dialogs():
    scripts = {path.stem for path in (REPOSITORY / "extension").glob("*.py") if "run_as_script" in path.read_text("utf-8")} - {"command"}
    assert set(DIALOGS) == scripts == {"client_book", "cutting_plan", "draft_sleeve", "fitting_changes", "print_pages", "remeasure_sleeve"}


@every_dialog
def test_the_dialog_says_what_the_tables_say(name):
    assert differences(dialog(name), said(name)) == []


@every_dialog
def test_the_script_reads_what_the_dialog_gives(name):
    assert misread(script_options(name), said(name)) == []


# --- whether the comparison finds everything ----------------------------------------------------------


def mutants(root: etree._Element) -> Iterator[tuple[str, etree._Element]]:
    """Yield copies of a dialog with one difference each, and what it is."""
    for param in root.iter(f"{INX}param"):
        within = param.findall(f"{INX}option") + param.findall(f"{INX}page")
        for change in (*_changed(param), *(change for each in within for change in _changed_choice(each, each is within[0]))):
            whole = copy.deepcopy(root)
            path = root.getroottree().getpath(change.element)
            change.make(whole.getroottree().xpath(path)[0])
            yield f"{param.get('name')}: {change.what}", whole
        if not within:
            for other in {"", "0", "false", "true", "1 in"} - {param.text or ""}:
                whole = copy.deepcopy(root)
                whole.getroottree().xpath(root.getroottree().getpath(param))[0].text = other
                yield f"{param.get('name')}: default {other!r}", whole


class Change(NamedTuple):
    """One difference to be made in a copy of a dialog, at the place of ``element``."""

    what: str
    element: etree._Element
    make: Callable[[etree._Element], object]


def _changed(param: etree._Element) -> Iterator[Change]:
    for attribute in {*param.keys()} - {"appearance", "mode"}:
        yield Change(attribute, param, lambda twin, attribute=attribute: twin.set(attribute, f"{twin.get(attribute)}x"))
    yield Change("left out", param, lambda twin: twin.getparent().remove(twin))
    yield Change("twice", param, lambda twin: twin.addnext(copy.deepcopy(twin)))


def _changed_choice(each: etree._Element, is_first: bool) -> Iterator[Change]:
    for attribute in each.attrib:
        yield Change(f"{attribute} of a choice", each, lambda twin, attribute=attribute: twin.set(attribute, f"{twin.get(attribute)} "))
    yield Change("a choice left out", each, lambda twin: twin.getparent().remove(twin))
    if not is_first:
        yield Change("order of choices", each, lambda twin: twin.getprevious().addprevious(twin))
    if each.tag == f"{INX}option":
        yield Change("word of a choice", each, lambda twin: setattr(twin, "text", f"{twin.text}."))
        if not is_first:
            yield Change("another default", each, lambda twin: twin.set("default", "true"))


@every_dialog
def test_no_difference_in_a_dialog_escapes(name):
    expected, tried = said(name), 0
    for what, mutant in mutants(dialog(name)):
        assert differences(mutant, expected), what
        tried += 1
    assert tried > 8 * len(expected)


@every_dialog
def test_no_difference_in_a_script_escapes(name):
    expected, options = said(name), script_options(name)
    for option in options:
        for field, values in {
            "default": ("", "0", 0, None, False, True, "other"), "choices": (None, (), ("other",), option.choices and tuple(option.choices)[::-1]),
            "type": (None, int, float, str, bool), "dest": ("other",), "option_strings": ([f"--{option.dest}s"],),
        }.items():  # fmt: skip
            right = getattr(option, field)
            for value in values:
                if value == right and type(value) is type(right):
                    continue
                if field == "choices" and value == tuple(right or ()) and (value or right is None) and value is not None:
                    continue
                setattr(option, field, value)
                assert misread(options, expected), (option.dest, field, value)
            setattr(option, field, right)
    assert misread(options[1:], expected)
    assert misread([*options, options[0]], expected)


# --- what the host asks of a dialog -------------------------------------------------------------------


@every_dialog
def test_dialog_is_well_formed_for_the_host(name):
    root = dialog(name)
    assert root.findtext(f"{INX}id") == f"org.tieredsleeve.{name}"
    assert root.findtext(f"{INX}name")[-1].isalpha()  # the host adds the dots itself
    assert root.find(f".//{INX}submenu").get("name") == "Tiered Sleeve"
    assert root.findtext(f".//{INX}command") == f"{name}.py"
    for param in root.iter(f"{INX}param"):
        if param.get("type") != "notebook":
            assert param.get("gui-text") and param.get("gui-description"), param.get("name")
        assert param.get("type") != "float", f"{param.get('name')}: the host's spin boxes misread 13 3/8 as 13"
        if param.get("type") == "optiongroup":
            assert param.get("appearance") == "combo", param.get("name")


@every_dialog
def test_a_dialog_ends_with_its_help(name):
    """What each command does, the order of the four by the names in the menu, the guide's name there, the version."""
    page = dialog(name).findall(f"./{INX}param/{INX}page")[-1]
    said_there = [label.text for label in page.iter(f"{INX}label")]
    menu = [dialog(each).findtext(f"{INX}name") for each in IN_ORDER]
    assert menu == sorted(menu), "the host puts its menu in alphabetical order"
    assert said_there[0] == dialog(name).findtext(f"{INX}name").lstrip("0123456789 ")
    assert [text.split(":")[0] for text in said_there if text[0].isdecimal() and ":" in text] == menu
    guide = etree.parse(str(REPOSITORY / "extension" / "open_guide.inx")).findtext(f"{INX}name")
    assert any(f"Extensions > Tiered Sleeve > {guide}." in text for text in said_there)
    assert any("net melt and burn" in text for text in said_there)
    assert said_there[-1] == f"Tiered Sleeve, version {VERSION}"


@every_dialog
def test_pictures_of_a_dialog_are_there_and_name_the_fields_beside_them(name):
    for image in dialog(name).iter(f"{INX}image"):
        file = REPOSITORY / "extension" / image.text
        assert file.read_bytes().startswith(b"\x89PNG\r\n\x1a\n")  # PNG, Third Edition (W3C 2025), 3.1
        beside = {param.get("gui-text") for param in image.getparent().getparent().iter(f"{INX}param")}
        lettered = set(re.findall(r"<text[^>]*>([^<]*)<", DRAWN[file.stem]()[2]))
        assert len(beside & lettered) >= 4, f"{file.name} letters {lettered}"
        assert lettered & {row.label for row in TABLE.values()} <= beside | {"Upper arm level"}


def test_a_snap_is_as_long_as_its_word():
    for snap, step in SPACING_SNAPS.items():
        assert step == (0 if snap == "none" else pytest.approx(read_length(f"{snap[:-2]} {snap[-2:]}", "cm"), abs=1e-12)), snap


@every_dialog
def test_counts_have_the_limits_of_the_dialog(name):
    """Calls of ``read_count`` in the script and the host's spin boxes keep to the same numbers."""
    module = importlib.import_module(f"extension.{name}")
    read = {}
    for call in ast.walk(ast.parse((REPOSITORY / "extension" / f"{name}.py").read_text("utf-8"))):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "read_count":
            _, text, *limits = call.args
            read[text.slice.value] = tuple(str(eval(compile(ast.Expression(limit), name, "eval"), vars(module))) for limit in limits)
    assert read == {option: now.limits for option, now in shown(dialog(name)) if now.kind == "int"}
