"""From sheets to entries: make a logbook, ingest it, ask about it, show what was attached, export."""

from __future__ import annotations

from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.errors import RequestError
from pipeline.files.names import slug
from pipeline.stages.shared import (
    car_data,
    event_of,
    extras_of,
    fitted,
    ingested,
    mark_of,
    not_twice,
    now,
    one_car,
    outcome_of,
    plain_rows,
    signed,
    write_report,
    write_text,
)
from pipeline.workspace import Outcome, Workspace

if TYPE_CHECKING:
    import duckdb


NOTHING_YET = (
    "No run, reading, setup or check is written down here yet. Type into the blank sheets that 'slipledger "
    "new LOGBOOK' makes, or put your own CSV, XLSX or ODS files into this folder, and run this again."
)


def new(folder: Path, *, demo: bool = False) -> Outcome:
    """Make a logbook folder with everything a person fills in, or a copy of the demo to try."""
    from pipeline.garage.new_logbook import copy_demo, make_logbook
    from reports.trackside import render_trackside

    if demo:
        copied = copy_demo(folder)
        said = f"Copied the invented demo to {folder}. Try: slipledger season {folder}"
        return Outcome(said, {"folder": folder.name, "files": [path.name for path in copied]}, files=copied)
    files = list(make_logbook(folder))
    files.append(write_text(folder / "trackside.html", render_trackside()))
    text = "\n".join(
        [
            f"Made {folder} with:",
            *(f"  {path.name}" for path in files),
            "Start with garage.toml: your car, your clutch, your strips, your limits.",
            f"Then fill the sheets (CSV or the workbook) and run: slipledger season {folder}",
        ]
    )
    return Outcome(text, {"folder": folder.name, "files": [path.name for path in files]}, files=tuple(files))


@not_twice
def ingest(space: Workspace, *, car: str | None = None) -> Outcome:
    """Read every sheet into the store and put every run on equal terms; count one car's slips if asked."""
    with ingested(space) as (con, _):
        outcome = _ingest_outcome(con)
        return outcome if car is None else _with_car_counts(con, outcome, one_car(con, space, car))


def _with_car_counts(con: duckdb.DuckDBPyConnection, outcome: Outcome, car: str) -> Outcome:
    from pipeline.season.car_data import slip_fates_of
    from reports.json_parts import count_fates

    counts = count_fates(slip_fates_of(con, car))
    told = ", ".join(f"{count} {fate.replace('_', ' ')}" for fate, count in counts.items())
    document = outcome.document | {"car": car, "slips": counts}
    return replace(outcome, text=f"{outcome.text}\nSlips of {car}: {told}.", document=document)


def questions(space: Workspace, *, car: str | None = None, list_in: Path | None = None) -> Outcome:
    """List what waits for an answer and write ``questions.csv`` to answer in.

    Parameters
    ----------
    space
        Where to work; ``questions.csv`` stands in the logbook, where the next ingest reads it.
    car
        List this car's only; ``questions.csv`` holds every car's.
    list_in
        Folder for the list as text too, to print and take along.
    """
    from pipeline.ingest.questions import (
        HEADINGS,
        asked_rows,
        idle_answers,
        question_lines,
        stale_answers,
        write_questions,
    )
    from pipeline.season.car_data import questions_of_car, waiting_questions
    from pipeline.store.database import STORE_VERSION
    from pipeline.store.tables import read_table
    from pipeline.terminal import answers_text, questions_text
    from reports import questions as report
    from reports.numbers import of

    with ingested(space, anew=True) as (con, logbook):  # the rows asked about are shown as typed
        found = read_table(con, "questions")
        path = logbook.root / "questions.csv"
        write_questions(con, path)
        page = report.QuestionsPage(
            name=logbook.root.resolve().name,
            headings=HEADINGS,
            lines=question_lines(con),
            rows=asked_rows(con),
            store_version=str(STORE_VERSION),
            generated_at=now(),
        )
        stale, idle = stale_answers(con), idle_answers(con)
        if car is not None:
            found = questions_of_car(con, found, one_car(con, space, car))
    waiting = waiting_questions(found)
    text = questions_text(found)
    files: tuple[Path, ...] = (path,)
    if list_in is not None:
        files = (path, write_text(list_in / "questions.txt", text + "\n"))
    clickable = write_text(space.out / "questions.html", report.render(page))
    if waiting.height:
        text += (
            f"\n\n{of(waiting.height, 'entry waits', 'entries wait')}. Answer in the column 'answer' of "
            f"{path} with accept, keep, leave out or the right value, or by clicking in {clickable}, and run "
            "this again. Your own sheets are never written to."
        )
    text = "\n\n".join(filter(None, (text, answers_text(stale, idle))))
    text += "".join(f"\nThe list to print is {file}" for file in files[1:])
    files = (*files, clickable)
    told = {
        "questions": plain_rows(found),
        "stale_answers": [asdict(answer) for answer in stale],
        "idle_answers": [asdict(answer) for answer in idle],
    }
    return Outcome(text, told, waiting.height, files)


def _ingest_outcome(con: duckdb.DuckDBPyConnection) -> Outcome:
    from pipeline.ingest.recognise.ready import spoken_name
    from pipeline.season.car_data import waiting_questions
    from pipeline.store.database import query
    from pipeline.store.tables import read_table
    from pipeline.terminal import counts_text, place, set_aside_text
    from reports.numbers import of

    counts, found = read_table(con, "sheet_counts"), read_table(con, "questions")
    waiting = waiting_questions(found).height
    reasons = dict(con.execute(query("clean/set_aside_reasons")).fetchall())
    repeats = con.sql(query("clean/rows_typed_twice")).pl().to_dicts()
    lines = [counts_text(counts), *filter(None, [set_aside_text(reasons, repeats)])]
    data = counts.filter(counts["kind"] != "answers")
    if not any(int(data[name].sum() or 0) for name in ("kept", "questioned", "rejected")):
        lines.append(NOTHING_YET)
    headings = read_table(con, "sheet_columns")
    unused = headings.filter(headings["column"].is_null()).select("file", "sheet", "heading")
    lines += [
        f"Not used: column {row['heading']!r} of {place(row['file'], row['sheet'])}."
        for row in unused.iter_rows(named=True)
    ]
    read_as = headings.filter((headings["why"] != "") & headings["column"].is_not_null())
    lines += [
        f"Read as {spoken_name(row['column'])}: {row['heading']!r} of {place(row['file'], row['sheet'])} "
        f"({row['why']})."
        for row in read_as.iter_rows(named=True)
    ]
    problems = read_table(con, "sheet_problems")
    lines += problems["problem"].to_list()
    if waiting:
        lines.append(
            f"{of(waiting, 'entry waits', 'entries wait')} for an answer: "
            "slipledger questions LOGBOOK lists them."
        )
    document = {
        "sheets": plain_rows(counts),
        "unused_columns": plain_rows(unused),
        "read_as": [
            {"file": file, "sheet": sheet, "column": heading, "read_as": column, "why": why}
            for file, sheet, heading, column, why in read_as.select(
                "file", "sheet", "heading", "column", "why"
            ).iter_rows()
        ],
        "problems": problems["problem"].to_list(),
        "waiting": waiting,
        "set_aside": reasons,
        "typed_twice": repeats,
    }
    return Outcome("\n".join(lines), document, waiting)


@not_twice
def attached(space: Workspace, *, event: str | None, car: str | None) -> Outcome:
    """Say which setup, weather, track reading and check each run used, and what no run used."""
    from pipeline.store.attached import attached_to
    from pipeline.terminal import attached_text
    from reports import attached as report
    from reports.as_json import attached_document

    with ingested(space, steps=True) as (con, _):
        data = car_data(con, space, one_car(con, space, car), need_fit=False)
        used, unused = attached_to(con, data.car)
    chosen = None if event is None else event_of(data, event)
    page = report.AttachedPage(
        car=data.car,
        used=used,
        unused=unused,
        **signed(data),
        extras=extras_of(data),
    )
    document = attached_document(page)
    files = write_report(space, f"attached{mark_of(data)}", report.render(page), document)
    text = f"{attached_text(page, chosen)}\n\nEvery run, row by row, is in {files[0]}"
    return outcome_of(data, text, document, files)


def export(space: Workspace, kind: str, *, car: str | None = None) -> Outcome:
    """Write the store's tables as files; one car's rows stand in a folder of their own."""
    from pipeline.season.car_data import waiting_questions
    from pipeline.store.export import KINDS, export_tables, exported_tables
    from pipeline.store.tables import read_table

    if kind not in KINDS:
        raise RequestError(f"--as {kind} is not a kind of export.", f"Choose one of {', '.join(KINDS)}.")
    with fitted(space) as con:
        chosen = None if car is None else one_car(con, space, car)
        folder = space.out / "exports" / ("" if chosen is None else slug(chosen))
        files = export_tables(con, exported_tables(con), folder, kind, chosen)
        waiting = waiting_questions(read_table(con, "questions")).height
    text = "\n".join(["Wrote:", *(f"  {path}" for path in files)])
    return Outcome(text, {"files": [path.name for path in files]}, waiting, files)
