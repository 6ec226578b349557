"""Ask Apache Preflight, a program of other hands, whether papers are PDF/A-1b."""

import re
import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path

import pytest

JARS = Path("/usr/share/java")
NAMES = (
    "preflight",
    "pdfbox2",
    "pdfbox2-tools",
    "fontbox2",
    "xmpbox",
    "commons-logging",
    "javax.activation",
    "jaxb-api",
)
PACKAGES = "default-jre-headless libpdfbox2-java libactivation-java libjaxb-api-java"
VERDICT = re.compile(r"<preflight name=\"([^\"]+)\.pdf\">(.*?)</preflight>", re.DOTALL)


def error_codes(pdf: bytes) -> set[str]:
    """Return the codes of all that Preflight finds wrong in a PDF; none if valid.

    A code such as 7.1 is a chapter of Preflight's own list: 1 syntax, 2 graphics,
    3 fonts, 4 transparency, 5 annotations, 6 actions, 7 metadata.

    Source: Apache PDFBox 2.0, class org.apache.pdfbox.preflight.PreflightConstants.
    """
    return all_error_codes({"paper": pdf})["paper"]


def all_error_codes(papers: Mapping[str, bytes]) -> dict[str, set[str]]:
    """Return the codes for each of several PDFs by name, all judged in one run."""
    with tempfile.TemporaryDirectory(prefix="flitchbook-") as folder:
        laid = Path(folder, "papers")
        laid.mkdir()
        for name, pdf in papers.items():
            (laid / f"{name}.pdf").write_bytes(pdf)
        told = _told_by_preflight(laid)
    found = {name: _codes(judged) for name, judged in VERDICT.findall(told)}
    if found.keys() != papers.keys():
        raise RuntimeError(f"Preflight judged {sorted(found)} of {sorted(papers)}")
    return found


def _codes(judged: str) -> set[str]:
    """Return the codes of one verdict, which must agree with them."""
    codes = set(re.findall(r"<code>([0-9.]+)</code>", judged))
    valid = re.search(r"<isValid type=\"[^\"]*\">(true|false)</isValid>", judged)
    if valid is None or (valid[1] == "true") != (not codes):
        raise RuntimeError(f"Preflight gave no verdict that can be read: {judged}")
    return codes


def _told_by_preflight(papers: Path) -> str:
    """Return the verdicts, which Preflight writes into a file beside the folder."""
    java = shutil.which("java")
    jars = [JARS / f"{name}.jar" for name in NAMES]
    absent = [jar.name for jar in jars if not jar.exists()]
    if java is None or absent:
        what = "java" if java is None else ", ".join(absent)
        pytest.skip(f"Preflight cannot run without {what}: apt install {PACKAGES}")
    command = [
        java,
        f"-Dpdfbox.fontcache={papers.parent}",  # and not the home of whoever tests
        "-Djava.util.logging.config.file=/dev/null",
        "-cp",
        ":".join(map(str, jars)),
        "org.apache.pdfbox.preflight.Validator_A1b",
        "xml",
        "group",
        str(papers),
    ]
    answer = subprocess.run(
        command, capture_output=True, text=True, timeout=240, check=False
    )
    verdicts = papers.with_name(f"{papers.name}.preflight.xml")
    if not verdicts.exists():
        raise RuntimeError(f"Preflight gave no verdict: {answer.stdout}{answer.stderr}")
    return verdicts.read_text(encoding="utf-8")
