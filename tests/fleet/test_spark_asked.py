"""What is said where Spark cannot be asked at all; no Java is started for these."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from pipeline import stages
from pipeline.errors import RequestError
from pipeline.fleet import spark_session
from pipeline.store.database import query, query_names

CHOICES = {"store": None, "out": None, "car": None, "share_out": None, "share_in": (), "progress": None}
OWN = {"fleet/keys", "fleet/no_checkpoint"}
"""Files that are for this machine's engine alone."""


def asked(source: Path, engine: str | None, master: str | None = None) -> str:
    with pytest.raises(RequestError) as failed:
        stages.fleet(source, engine=engine, master=master, **CHOICES)  # type: ignore[arg-type]
    assert "\n" not in str(failed.value)
    return str(failed.value)


def test_without_pyspark_the_sentence_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in [name for name in sys.modules if name.startswith(("pyspark", "pipeline.fleet.sh"))]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "pyspark", None)
    assert "needs pyspark, which is not installed. Install it with: pip install 'slipledger[spark]'" in asked(
        tmp_path, "spark"
    )


def test_without_java_the_sentence_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("JAVA_HOME", str(tmp_path / "java"))
    said = asked(tmp_path, "spark")
    assert f"JAVA_HOME names {tmp_path / 'java'}, where there is none. Install a Java runtime" in said
    monkeypatch.delenv("JAVA_HOME")
    monkeypatch.setenv("PATH", str(tmp_path))
    assert "needs Java, and no program java is found on this machine" in asked(tmp_path, "spark")


def test_another_engine_or_a_master_alone_is_refused(tmp_path: Path) -> None:
    assert "--engine abacus is none that is known here." in asked(tmp_path, "abacus")
    assert "--master spark://hill:7077 is the address of a cluster." in asked(
        tmp_path, None, "spark://hill:7077"
    )


@pytest.mark.parametrize(
    ("master", "elsewhere"),
    [
        (None, False),
        ("local", False),
        ("local[2]", False),
        ("local-cluster[2,1,1024]", True),
        ("spark://hill:7077", True),
    ],
)
def test_java_is_told_to_hurry_only_where_others_do_the_work(
    master: str | None, elsewhere: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SPARK_SUBMIT_OPTS", "-Dours=1")
    seen: list[str] = []

    class Builder:
        def config(self, *_setting: str) -> Builder:
            return self

        master = config

        def getOrCreate(self) -> None:
            seen.append(os.environ["SPARK_SUBMIT_OPTS"])

    monkeypatch.setattr(spark_session, "SparkSession", SimpleNamespace(builder=Builder()))
    spark_session._started(master, tmp_path)
    assert seen == [f"{spark_session.QUICK} -Dours=1" if elsewhere else "-Dours=1"]
    assert os.environ["SPARK_SUBMIT_OPTS"] == "-Dours=1"


@pytest.mark.parametrize("name", sorted(set(query_names("fleet")) - OWN))
def test_a_query_of_the_fleet_keeps_to_what_every_engine_reads(name: str) -> None:
    """What Spark really reads the tests marked ``spark`` show; this one is quick, and names the file."""
    sql = query(name)
    for word in ("::", "varchar", "utinyint", "hash(", "create temp"):
        assert word not in sql, word
