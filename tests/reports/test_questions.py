from reports.questions import QuestionsPage, render
from tests.reports.test_season import words_of

HEADINGS = (
    "question_id", "answer", "file", "sheet", "row", "column", "value", "reading", "suggestion", "problem",
    "severity", "rule", "entries", "places",
)  # fmt: skip


def test_entries_are_counted_as_the_terminal_counts_them() -> None:
    cause = (
        "a",
        "",
        "slips.csv",
        "",
        3,
        "time",
        "1:15",
        "01:15",
        "13:15",
        "Swapped?",
        "questioned",
        "am_pm_slip",
    )
    lines = [(*cause, 3, "3: 1:15; 4: 1:54; 5: 2:41"), ("b", "accept", *cause[2:], 1, None)]
    page = QuestionsPage("book", HEADINGS, lines, {}, store_version="1", generated_at="2031-09-06T08:00:00")
    assert "3 entries wait" in words_of(render(page))
