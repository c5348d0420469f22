"""The stages as plain functions: each reads tables, writes tables, and can be run again alone.

Modules here import the heavy parts late, when the stage that needs them runs,
so that ``slipledger --help`` stays quick. A stage returns an :class:`Outcome`: text for a person,
a document for a program, the files written and how many entries wait for an answer.
"""

from pipeline.stages.deciding import clutch, compare, handout, next_setting, plan
from pipeline.stages.entering import attached, export, ingest, new, questions
from pipeline.stages.pooling import fleet
from pipeline.stages.reviewing import evidence, fit, nightly, season
from pipeline.stages.shared import unforeseen_sentence

__all__ = [
    "attached",
    "clutch",
    "compare",
    "evidence",
    "export",
    "fit",
    "fleet",
    "handout",
    "ingest",
    "new",
    "next_setting",
    "nightly",
    "plan",
    "questions",
    "season",
    "unforeseen_sentence",
]
