"""Extensions > Tiered Sleeve > Client Book…: keeps the selected sleeve's client in a plain CSV, and drafts from it, one or many."""
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import extension.host_check  # isort: skip  # noqa: F401  says what is missing, before anything that needs it

import datetime as dt
from argparse import ArgumentParser

import inkex

from extension.book.clients import open_book
from extension.book.drafting_many import asked_for, draft_beside, draft_into_files, draft_nested, draw_report
from extension.book.keeping import keep_client
from extension.book.shapes import shape_of_the_selected
from extension.command import Command
from extension.cutting_plan import CuttingPlan
from extension.document.reading import find_sleeve
from extension.document.record import record_of
from extension.settings import BOOK_FILE, BOOK_SECTION, Kept
from extension.wording import book as words
from geometry.measuring.measurements import DEFAULTS
from geometry.refusal import Refused


class ClientBook(Command):
    """Writes a client into the book, or drafts clients of the book."""

    def add_arguments(self, pars: ArgumentParser) -> None:
        pars.add_argument("--tab", default="book")
        pars.add_argument("--book", default="")
        pars.add_argument("--action", default="keep", choices=("keep", "draft"))
        pars.add_argument("--clients", default="all")
        pars.add_argument("--arrange", default="beside", choices=("beside", "nested", "files"))
        pars.add_argument("--folder", default="")
        pars.add_argument("--carry", type=inkex.Boolean, default=False)

    def work(self) -> None:
        kept, chosen = Kept(BOOK_SECTION), self.options.book.strip()
        book = chosen or kept.before.get(BOOK_FILE, "")
        if self.options.action == "keep":
            if not book:
                raise Refused("book not chosen")
            layer = find_sleeve(self.svg)
            typed = {**DEFAULTS, **record_of(layer)["typed"]}
            written = keep_client(Path(book).expanduser(), typed, dt.date.today().isoformat())
            draw_report(self.svg, [words.kept(typed["label"], book, written), *remembered(kept, chosen)], words.NEXT_AFTER_KEEPING)
            return
        asked = asked_for(open_book(book), self.options.clients)
        asked = asked._replace(said=[*asked.said, *remembered(kept, chosen)])
        if self.options.carry:
            asked = asked._replace(shape=shape_of_the_selected(self.svg))
        if self.options.arrange == "nested":
            draft_nested(self.svg, asked)
        elif self.options.arrange == "files":
            draft_into_files(self.svg, asked, self.options.folder, write_job_sheet)
        else:
            draft_beside(self.svg, asked)


def remembered(kept: Kept, chosen: str) -> list[str]:
    """Keep which book was chosen, if one was; return what went wrong with her settings."""
    if chosen:
        kept.keep({BOOK_FILE: str(Path(chosen).expanduser().absolute())})
    return [kept.problem] if kept.problem else []


def write_job_sheet(svg: inkex.SvgDocumentElement, folder: str) -> None:
    """Write the job sheet and the cut list of the one sleeve in a document, planned as Cutting Plan does with nothing typed."""
    plan = CuttingPlan()
    plan.parse_arguments([f"--job_sheet_folder={folder}"])
    plan.files_only = True
    plan.document, plan.svg = svg.getroottree(), svg
    plan.work()


if __name__ == "__main__":
    ClientBook.run_as_script()
