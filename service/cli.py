"""The command line: arguments in, files and one clear line out.

Each action is imported where it is run, so that help and errors come at once. Exit codes are in
`service.errors`; standard output carries results only, standard error the one line of an error.
"""

from __future__ import annotations

import errno
import os
import sys
import traceback
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer
from rich.console import Console
from typer.exceptions import Abort, Exit, TyperException

from service.actions.refusals import Refusal, refusal_text
from service.errors import (
    EXIT_BAD_INPUT,
    EXIT_BROKEN,
    EXIT_INTERRUPTED,
    EXIT_REFUSED,
    EXIT_WRITTEN,
    FileError,
    one_line,
)
from service.files.writing import check_target, json_text, write_whole
from service.product import COMMAND, ENVIRONMENT_PREFIX, NAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.panels.model import Plan

app = typer.Typer(
    name=COMMAND,
    help=f"{NAME}: wall sizes from phone photos, proved by tape, turned into panels.",
    epilog="Local codes and the sheet maker's written instructions govern. A photo estimate is "
    "never a cutting dimension.",
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


PaperOption = Annotated[Literal["letter", "a4"], typer.Option(help="Paper it is printed on.")]
"""Letter is 8.5 x 11 in, A4 210 x 297 mm."""
_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit code; the only place that catches everything."""
    try:
        code = app(list(arguments) if arguments is not None else None, standalone_mode=False)
    except FileError as error:
        return _fail(str(error))
    except Refusal as refusal:
        _print(refusal_text(refusal))
        return EXIT_REFUSED
    except TyperException as error:
        said = " ".join(error.format_message().replace("Value error, ", "").split()).rstrip(".")
        return _fail(f"{said}; see {COMMAND} --help")
    except (KeyboardInterrupt, Abort):
        return _stopped()
    except Exception as error:  # noqa: BLE001 - the outermost handler
        if isinstance(error, OSError) and error.errno in _NO_ROOM:
            where = error.filename or "standard output"
            if error.filename is None:
                _drop_output()
            return _fail(f"{where}: cannot be written: {error.strerror}")
        return _broken(error)
    if code == EXIT_INTERRUPTED:  # what the library makes of control-C
        return _stopped()
    return code if isinstance(code, int) else EXIT_WRITTEN


def _show_version(wanted: bool) -> None:
    if wanted:
        _print(f"{COMMAND} {version(COMMAND)}\n")
        raise Exit


@app.callback()
def _everywhere(
    _version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_show_version, is_eager=True, help="Print the version and leave."
        ),
    ] = False,
) -> None:
    pass


@app.command()
def measure(
    wall: Annotated[
        Path, typer.Argument(metavar="WALL.json", help="One wall's photos, marks, readings.")
    ],
    out: Annotated[
        Path | None, typer.Option(metavar="REPORT.json", help="Write the report here.")
    ] = None,
) -> None:
    """Measure one wall from its photos and judge its tape readings."""
    from service.actions.measure import measure_file
    from service.actions.measure.size_lines import size_lines

    check_target(out, wall)
    report = measure_file(wall)
    if out is None:
        _print(json_text(report))
        return
    check_target(out, *(wall.parent / photo.file for photo in report.photos))
    write_whole(out, json_text(report).encode())
    for line in size_lines(report):
        _print(f"{line}\n")


@app.command()
def check(
    walls: Annotated[
        list[Path],
        typer.Argument(metavar="WALL.json...", help="The walls of one alcove, one to three."),
    ],
    out: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Folder for the report; default: check beside them."),
    ] = None,
    slips: Annotated[
        Path | None, typer.Option(metavar="SLIPS.toml", help="The shop's own rates of slips.")
    ] = None,
    plan: Annotated[
        Path | None,
        typer.Option(
            metavar="PLAN.json",
            help="List what this plan's sheets are cut by, and tell what it lets stand.",
        ),
    ] = None,
    job: Annotated[
        str, typer.Option(metavar="NAME", help="Job named in the report; default: the plan's.")
    ] = "",
    paper: PaperOption = "letter",
) -> None:
    """Cross-check tape and photos of an alcove, and say what to tape next."""
    from service.actions.measure.check import check_files
    from service.actions.measure.check_lines import check_lines
    from service.actions.plan import cut_by_file

    folder = out if out is not None else walls[0].parent / "check"
    cut_by = None if plan is None else partial(cut_by_file, plan)
    checked = check_files(
        walls, folder, slips=slips, plan=plan, cut_by=cut_by, job=job, paper=paper
    )
    for line in check_lines(checked):
        _print(f"{line}\n")


@app.command()
def elevation(
    wall: Annotated[
        Path, typer.Argument(metavar="WALL.json", help="One wall's photos, marks, readings.")
    ],
    out: Annotated[
        Path, typer.Option(metavar="PICTURE", help="Write the picture here: .png or .jpg.")
    ],
    mm_per_px: Annotated[float, typer.Option(help="Millimetres of wall in each pixel.")] = 1.0,
    plain: Annotated[
        bool, typer.Option("--plain", help="Without grid, sizes and error ellipses.")
    ] = False,
    photo: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="Draw over this photo of the wall file instead."),
    ] = None,
) -> None:
    """Draw a wall seen square on from its photos, with its sizes; never for cutting."""
    from service.actions.measure.elevation import elevation_picture

    write_whole(out, elevation_picture(wall, out, mm_per_px, plain=plain, photo=photo))


@app.command()
def panels(
    plan: Annotated[
        Path, typer.Argument(metavar="PLAN.json", help="What the panels are planned from.")
    ],
    out: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER", help="Folder for the drawings; default: panels beside the plan."
        ),
    ] = None,
    paper: PaperOption = "letter",
) -> None:
    """Plan the panels of an alcove and write drawings, order and estimate."""
    from service.actions.plan import plan_file

    folder = out if out is not None else plan.parent / "panels"
    planned = plan_file(plan, folder, paper=paper)
    for panel in planned.plan.panels:
        state = "released" if panel.released else "ESTIMATE, not for cutting"
        _print(f"{panel.title}: {panel.box.width.text} x {panel.box.height.text} in, {state}\n")
    _print_cautions(planned.plan)
    for path in planned.written:
        _print(f"{path}\n")
    for path in planned.taken_away:
        _print(f"{path}: of an earlier plan; this one has no such panel, so it was taken away\n")


@app.command()
def release(
    plan: Annotated[
        Path, typer.Argument(metavar="PLAN.json", help="The plan; it says how sheets are released.")
    ],
    sheet: Annotated[
        Literal["back", "plumbing", "far end"], typer.Argument(help="Wall whose sheet is locked.")
    ],
    who: Annotated[str, typer.Option(metavar="NAME", help="Who releases it.")],
) -> None:
    """Lock a panel's sheet for cutting as its next revision."""
    from datetime import UTC, datetime

    from service.actions.plan import lock_sheet

    at = datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    locked = lock_sheet(plan, sheet, who, at)
    new = locked.revision
    _print(f"{sheet} wall: revision {new.letter}, hash {new.fingerprint[:12]}\n{locked.kept}\n")
    _print_cautions(locked.plan)


@app.command("field-truth")
def field_truth(
    releases: Annotated[
        list[Path],
        typer.Argument(metavar="RELEASES.json...", help="What `release` keeps beside each plan."),
    ],
    shop: Annotated[str, typer.Option(metavar="NAME", help="What the shop calls itself.")] = "",
) -> None:
    """Tell how often each phone's photo intervals held the tape of released sheets."""
    from service.actions.field_truth import field_truth_lines

    for line in field_truth_lines(releases, shop):
        _print(f"{line}\n")


@app.command()
def card(
    out: Annotated[
        Path | None, typer.Option(metavar="CARD.pdf", help="Write the page here.")
    ] = None,
    paper: PaperOption = "letter",
    serial: Annotated[int, typer.Option(help="Number of the card, to tell cards apart.")] = 1,
    describe: Annotated[
        bool, typer.Option("--describe", help="Print its geometry as JSON.")
    ] = False,
) -> None:
    """Write a reference card to print at 100 %, or describe it."""
    from service.actions.card import card_description, card_page

    if out is None and not describe:
        raise FileError("card", "", "expected --out CARD.pdf, --describe or both")
    check_target(out)
    if out is not None:
        write_whole(out, card_page(serial, paper))
    if describe:
        _print(card_description(serial, paper))


@app.command()
def lens(
    photos: Annotated[
        list[Path],
        typer.Argument(metavar="PHOTO...", help="Six or more photos of a card by one phone."),
    ],
    out: Annotated[Path, typer.Option(metavar="PROFILE.json", help="Write the profile here.")],
) -> None:
    """Make the lens profile of one phone from photos of a card."""
    from service.actions.lens import lens_files

    for photo in photos:
        check_target(out, photo)
    profile, report = lens_files(photos)
    write_whole(out, json_text(profile).encode())
    _print(f"focal length {report.f_px:.1f} px within {1.96 * report.f_u_px:.1f} px (95 %)\n")
    for share in report.photos:
        _print(
            f"{share.file}: card at {share.tilt_deg:.0f} degrees; without it the focal length "
            f"would be {share.f_gain:.2f} times as uncertain\n"
        )
    for left in report.unused:
        _print(f"{left.file}: not used; {left.why}\n")


@app.command()
def schema(
    kind: Annotated[
        Literal["wall", "report", "check", "plan", "panels"], typer.Argument(help="Which file.")
    ],
) -> None:
    """Print the JSON Schema of a file."""
    from service.actions.schema import schema_text

    _print(schema_text(kind))


@app.command()
def serve(
    port: Annotated[
        int | None, typer.Option(help="Port on this machine; default: 8642.", min=0, max=65535)
    ] = None,
    data: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Where jobs and photos are kept; default: .tapeproof."),
    ] = None,
    browser: Annotated[bool, typer.Option(help="Open the pages in this machine's browser.")] = True,
) -> None:
    """Serve the pages on this machine, until stopped with Ctrl-C."""
    # Before numpy is loaded: requests run beside one another, so one thread each is fastest.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from service.server import serve as serve_until_stopped
    from service.settings import settings_from

    settings = settings_from(os.environ, port=port, data_folder=data)
    kept = settings.data_folder.resolve()

    def say(address: str) -> None:
        _print(f"{NAME}: {address}\nJobs and photos are kept in {kept}. Stop with Ctrl-C.\n")

    serve_until_stopped(settings, say, browser=browser and sys.stdout.isatty())


@app.command()
def example(
    out: Annotated[
        Path, typer.Option(metavar="FOLDER", help="Folder for what the example writes.")
    ] = Path("out/example"),
) -> int:
    """Run the example job from its photos to its cutting sheets."""
    from service.example import run_example

    return run_example(out, Console())


def _print_cautions(plan: Plan) -> None:
    """Of a plan's warnings those that are about the files it was given, not about the room."""
    for caution in plan.warnings:
        if caution.code in ("judged-apart", "no-letter"):
            _print(f"{caution.text}; {caution.do}\n")


def _print(text: str) -> None:
    """Write to standard output as UTF-8, whatever the terminal's own encoding."""
    if sys.stdout is None:
        raise FileError("standard output", "", "cannot be written: it is closed")
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(text.encode("utf-8", "backslashreplace"))
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        _drop_output()  # whoever read it has left


def _drop_output() -> None:
    """Take what is not written yet for written: Python would complain once more while closing."""
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _complain(text: str) -> None:
    """One line on standard error; none where that is closed, and never on standard output."""
    if sys.stderr is not None:
        print(one_line(text), file=sys.stderr)


def _stopped() -> int:
    _complain("Stopped; no file was left half written.")
    return EXIT_INTERRUPTED


def _fail(text: str) -> int:
    _complain(text)
    return EXIT_BAD_INPUT


def _broken(error: Exception) -> int:
    """A fault of this program: one line, and the trace for whoever asks for it."""
    if os.environ.get(f"{ENVIRONMENT_PREFIX}TRACE"):
        traceback.print_exception(error)
    _complain(
        f"{COMMAND} failed by a fault of its own ({type(error).__name__}: {error}); set "
        f"{ENVIRONMENT_PREFIX}TRACE=1 to see where, and report it"
    )
    return EXIT_BROKEN
