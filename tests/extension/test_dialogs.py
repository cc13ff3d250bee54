"""Every dialog says what its script reads: names, defaults, choices, types."""
import importlib
from pathlib import Path

import pytest
from lxml import etree

from geometry.measuring.measurements import TABLE
from tests.host import REPOSITORY

INX = "{http://www.inkscape.org/namespace/inkscape/extension}"
DIALOGS = sorted((REPOSITORY / "extension").glob("*.inx"))


def script_options(dialog: Path) -> dict:
    """Return the script's own options by name."""
    module = importlib.import_module(f"extension.{dialog.stem}")
    command = next(
        thing for thing in vars(module).values()
        if isinstance(thing, type) and thing.__module__ == module.__name__ and hasattr(thing, "work")
    )  # fmt: skip
    inherited = {"output", "ids", "selected_nodes", "input_file", "help"}
    return {action.dest: action for action in command().arg_parser._actions if action.dest not in inherited}


def dialog_parameters(dialog: Path) -> dict:
    return {param.get("name"): param for param in etree.parse(str(dialog)).iter(f"{INX}param")}


def default_of(param) -> str:
    options = param.findall(f"{INX}option")
    if options:
        return next((o for o in options if o.get("default") == "true"), options[0]).get("value")
    pages = param.findall(f"{INX}page")
    return pages[0].get("name") if pages else (param.text or "")


def test_there_is_a_dialog():
    assert "draft_sleeve" in [dialog.stem for dialog in DIALOGS]


@pytest.mark.parametrize("dialog", DIALOGS, ids=lambda path: path.stem)
def test_dialog_and_script_agree(dialog):
    parameters, options = dialog_parameters(dialog), script_options(dialog)
    assert set(parameters) == set(options)
    for name, param in parameters.items():
        option = options[name]
        shown, own = default_of(param), option.default
        if param.get("type") == "bool":
            assert shown.lower() == str(own).lower(), name
        else:
            assert shown == str(own), name
        if option.choices is not None and param.get("type") == "optiongroup":
            assert [o.get("value") for o in param.findall(f"{INX}option")] == [str(choice) for choice in option.choices], name


@pytest.mark.parametrize("dialog", DIALOGS, ids=lambda path: path.stem)
def test_dialog_is_well_formed_for_the_host(dialog):
    root = etree.parse(str(dialog)).getroot()
    assert root.findtext(f"{INX}id") == f"org.tieredsleeve.{dialog.stem}"
    assert root.findtext(f"{INX}name").endswith("…")
    assert root.find(f".//{INX}submenu").get("name") == "Tiered Sleeve"
    assert root.findtext(f".//{INX}command") == f"{dialog.stem}.py"
    for param in root.iter(f"{INX}param"):
        if param.get("type") != "notebook":
            assert param.get("gui-text") and param.get("gui-description"), param.get("name")
        assert param.get("type") != "float", f"{param.get('name')}: the host's spin boxes misread 13 3/8 as 13"


def test_the_draft_dialog_says_what_the_table_says():
    parameters = dialog_parameters(REPOSITORY / "extension" / "draft_sleeve.inx")
    for measurement in TABLE.values():
        shown = parameters[measurement.name]
        assert (shown.get("gui-text"), shown.get("gui-description")) == (measurement.label, measurement.how)
