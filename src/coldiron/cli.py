"""The command line: arguments in, exit codes out. What a command needs is imported inside it.

Exit codes: 0 done or parked, 2 wrong arguments, 3 problems in the book, 4 more answers are needed (the input ended, or
a script gave no line for a caution), 5 the job could not be saved or read, or its output not be written, 130 stopped by
Ctrl-C.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from coldiron import terminal
from coldiron.plaintext import one_line
from coldiron.terminal import tell

TYPE_CHECKING = False
if TYPE_CHECKING:
    from pathlib import Path
    from typing import Any, NoReturn

    from coldiron.consult.driver import JobDriver
    from coldiron.consult.lines import End, Save
    from coldiron.model import Book

DONE, USAGE, BOOK, ANSWERS, STORE = 0, 2, 3, 4, 5

LONGEST = 18
"""Digits of a job's number: as many as its store can hold. Of a wrong word no more is shown."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    from coldiron.outlets import guarded

    sys.excepthook = terminal.fell
    return guarded(lambda: _command(argv))


def _command(argv: Sequence[str] | None) -> int:
    parser = _parser()
    arguments = parser.parse_args(argv)
    if getattr(arguments, "json", False) and not arguments.answers:
        parser.error("--json writes the events of a script: give one with --answers FILE")
    if arguments.version:
        from coldiron import __version__

        tell(__version__)
        return DONE
    if not hasattr(arguments, "run"):
        parser.print_help()
        return USAGE
    from coldiron.jobs.trouble import StoreTrouble

    try:
        code: int = arguments.run(arguments)
    except StoreTrouble as trouble:
        tell(" ".join((one_line(trouble.sentence, 1_000), trouble.suggestion)), error=True)
        return STORE
    finally:
        _keep_solved()
    return code


def _path(text: str) -> Path:
    from pathlib import Path

    return Path(text)


def _keep_solved() -> None:
    """What was solved for this job is kept for the next one, after all answers; not where no machine was composed."""
    if "coldiron.consult.setup" in sys.modules:
        from coldiron.consult.setup import keep_solved

        keep_solved()


class _Help(argparse.HelpFormatter):
    """Told its width: the usual one imports `shutil` for it, 4 ms of every start, even where no help is asked for."""

    def __init__(self, prog: str) -> None:
        try:
            width = int(os.environ.get("COLUMNS", "0")) or os.get_terminal_size().columns
        except (OSError, ValueError):
            width = 80
        super().__init__(prog, width=width - 2)


class _Parser(argparse.ArgumentParser):
    """A parser whose commands get the same help as itself."""

    def __init__(self, **given: Any) -> None:
        super().__init__(**{"formatter_class": _Help, **given})

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the arguments, which may hold anything, in one line."""
        super().error(one_line(message))

    def _print_message(self, message: str, file: Any = None) -> None:
        if message:
            tell(message.rstrip("\n"), error=file is sys.stderr)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="coldiron", description="From a dead machine to a proven cause.")
    parser.add_argument("--version", action="store_true", help="print the version")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    _find_parser(commands.add_parser("find", help="find out why a machine is dead"))
    resume = commands.add_parser("resume", help="go on with a parked job")
    resume.add_argument("job", nargs="?", type=_job, help="number of the job; the latest if left out")
    resume.add_argument("--newer", action="store_true", help="go over to the book that is here now")
    resume.add_argument("--sound", action="store_true", help="go on with what is sound of a damaged job")
    _common(resume)
    resume.set_defaults(run=_resume)
    jobs = commands.add_parser("jobs", help="list the jobs")
    jobs.set_defaults(run=_jobs)
    size = commands.add_parser("size", help="wire, fuse and splice for a repair where the maker's are not known")
    size.add_argument("amps", type=_above_nothing, help="amps of the load")
    size.add_argument("metres", type=_above_nothing, help="length of the wire, there and back")
    size.add_argument("volts", type=int, choices=(12, 24), help="of the machine")
    size.set_defaults(run=_size)
    book = commands.add_parser("book", help="look after the rule files").add_subparsers(metavar="WHAT", required=True)
    check = book.add_parser("check", help="say what is wrong in the rule files")
    check.add_argument(
        "path", nargs="?", type=_path, help="a rule file or a folder of them; the shipped book if left out"
    )
    check.set_defaults(run=_book_check)
    prove = book.add_parser("prove", help="hold the rule files against the solved circuits")
    prove.add_argument("path", nargs="?", type=_path, help="as for check")
    prove.set_defaults(run=_book_prove)
    return parser


def _name(text: str) -> str:
    """What of a name is no UTF-8 is replaced: it can be neither shown nor saved."""
    return text.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _job(text: str) -> int:
    if not (text.isdecimal() and len(text) <= LONGEST):
        raise argparse.ArgumentTypeError(f"the number of a job, as coldiron jobs lists them, not {text[:LONGEST]}")
    return int(text)


def _above_nothing(text: str) -> float:
    number = float(text.replace(",", "."))
    if not 0 < number < 10_000:
        raise argparse.ArgumentTypeError(f"more than 0 and less than 10000, not {text[:LONGEST]}")
    return number


def _find_parser(find: argparse.ArgumentParser) -> None:
    find.add_argument("name", nargs="?", type=_name, default="", help="what to call the job: machine, yard, owner")
    source = find.add_mutually_exclusive_group()
    source.add_argument("--demo", action="store_true", help="watch a recorded job in an invented yard")
    source.add_argument("--replay", type=_path, metavar="FILE", help="replay a recorded job; nothing is saved")
    source.add_argument(
        "--answers", type=_path, metavar="FILE", help="answer from a file of JSON lines; nothing is saved"
    )
    find.add_argument("--json", action="store_true", help="write events as JSON lines (with --answers)")
    _common(find)
    find.set_defaults(run=_find)


def _common(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--plain", action="store_true", help="plain lines: no colours, no redrawing")
    parser.add_argument("--book", type=_path, metavar="PATH", help="rule files to use instead of the shipped book")


def _find(arguments: argparse.Namespace) -> int:
    book = _book(arguments.book)
    if book is None:
        return BOOK
    if arguments.answers:
        return _scripted(book, arguments.answers, as_json=arguments.json)
    if arguments.demo:
        from coldiron.consult.replay import demo

        return demo(book)
    if arguments.replay:
        from coldiron.consult.replay import replay

        return replay(book, arguments.replay)
    from coldiron.consult.driver import JobDriver
    from coldiron.consult.saving import earlier_circuit, earlier_notes, new_job
    from coldiron.consult.session import Consultation

    job = new_job(arguments.name, book, arguments.book)
    earlier = earlier_notes(arguments.name)
    consultation = Consultation(book, before=earlier_circuit(arguments.name, book))
    return _run(arguments, JobDriver(job.title, consultation, earlier=earlier), job.save)


def _resume(arguments: argparse.Namespace) -> int:
    book = _book(arguments.book)
    if book is None:
        return BOOK
    from coldiron.consult.resuming import old_job

    job, driver = old_job(arguments.job, book, arguments.book, newer=arguments.newer, sound=arguments.sound)
    return _run(arguments, driver, job.save)


def _run(arguments: argparse.Namespace, driver: JobDriver, save: Save) -> int:
    if arguments.plain or not terminal.is_one() or os.environ.get("TERM") == "dumb":
        from coldiron.consult import plain as screen
    else:
        from coldiron.consult import opening as screen  # type: ignore[no-redef]
    return _ended(screen.run(driver, save))


def _ended(end: End) -> int:
    if end.how == "ended":
        from coldiron.consult.driver import JobDriver

        answered = isinstance(end.driver, JobDriver) and end.driver.committed
        kept = " What was answered is kept; go on with: coldiron resume" if answered else ""
        tell(f"The input has ended. Answers come one a line, by word, number or reading.{kept}")
        return ANSWERS
    return DONE


def _scripted(book: Book, path: Path, *, as_json: bool) -> int:
    from coldiron.bounded import UnreadableError, text_of
    from coldiron.consult.script import ScriptError, dump, follow, lines, question_event, state_event
    from coldiron.consult.session import Consultation

    consultation = Consultation(book)
    try:
        for after in follow(consultation, lines(text_of(path))):
            consultation = after
            if as_json:
                step = consultation.steps[-1]
                terminal.record(dump({"event": step.kind, "id": step.id, "value": step.value}))
                terminal.record(dump(question_event(consultation.next)))
    except (ScriptError, UnreadableError) as error:
        tell(one_line(str(error), 600), error=True)
        return ANSWERS if isinstance(error, ScriptError) else USAGE
    if as_json:
        terminal.record(dump(state_event(consultation)))
    else:
        from coldiron.consult.driver import JobDriver
        from coldiron.consult.plain import show

        show(JobDriver(path.stem, consultation).page())
    return ANSWERS if consultation.verdict.status == "open" else DONE


def _jobs(_: argparse.Namespace) -> int:
    from coldiron.jobs.store import open_store

    with open_store() as store:
        rows = [job for job in store.jobs() if job.answers]
        rows = [job if store.health(job.id).whole else job._replace(status="damaged") for job in rows]
    if not rows:
        tell("No jobs yet. Begin one with: coldiron find")
    for job in rows:
        changed, status = one_line(job.changed[:16].replace("T", " ")), one_line(job.status or "open", 14)
        tell(f"{job.id:>4}  {changed}  {status:<14} {one_line(job.name, 60)}  {one_line(job.summary)}")
    return DONE


def _size(arguments: argparse.Namespace) -> int:
    from coldiron.sizing.report import sizes

    tell(sizes(arguments.amps, arguments.metres, arguments.volts))
    return DONE


def _book_check(arguments: argparse.Namespace) -> int:
    from coldiron.checkup import judged, report

    tell(report(arguments.path))
    return BOOK if judged(arguments.path)[0].broken else DONE


def _book_prove(arguments: argparse.Namespace) -> int:
    from coldiron.proving.report import proved

    text, clean = proved(arguments.path)
    tell(text)
    return DONE if clean else BOOK


def _book(path: Path | None) -> Book | None:
    """The book to use. One with errors is not used: what is wrong with it is told on stderr."""
    from coldiron import books

    book, _ = books.load(path, _say_building)
    if not book.broken:
        return book
    from coldiron.checkup import report

    tell(report(path), error=True)
    return None


def _say_building() -> None:
    """Say why nothing is to be seen yet, to a person who is looking."""
    if terminal.errors_are_seen():
        tell("Reading the rule files, a few seconds; after this they are kept until one changes.", error=True)


if __name__ == "__main__":
    raise SystemExit(main())
