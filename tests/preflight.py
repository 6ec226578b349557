"""Ask Apache Preflight, a program of other hands, whether a paper is PDF/A-1b."""

import re
import shutil
import subprocess
import tempfile
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


def error_codes(pdf: bytes) -> set[str]:
    """Return the codes of all that Preflight finds wrong in a PDF; none if valid.

    A code such as 7.1 is a chapter of Preflight's own list: 1 syntax, 2 graphics,
    3 fonts, 4 transparency, 5 annotations, 6 actions, 7 metadata.

    Source: Apache PDFBox 2.0, class org.apache.pdfbox.preflight.PreflightConstants.
    """
    with tempfile.TemporaryDirectory(prefix="flitchbook-") as folder:
        paper = Path(folder, "paper.pdf")
        paper.write_bytes(pdf)
        told = _told_by_preflight(paper)
    codes = set(re.findall(r"<code>([0-9.]+)</code>", told))
    valid = re.search(r"<isValid type=\"[^\"]*\">(true|false)</isValid>", told)
    if valid is None or (valid[1] == "true") != (not codes):
        raise RuntimeError(f"Preflight gave no verdict that can be read: {told}")
    return codes


def _told_by_preflight(paper: Path) -> str:
    java = shutil.which("java")
    jars = [JARS / f"{name}.jar" for name in NAMES]
    absent = [jar.name for jar in jars if not jar.exists()]
    if java is None or absent:
        what = "java" if java is None else ", ".join(absent)
        pytest.skip(f"Preflight cannot run without {what}: apt install {PACKAGES}")
    command = [
        java,
        f"-Dpdfbox.fontcache={paper.parent}",  # and not the home of whoever tests
        "-Djava.util.logging.config.file=/dev/null",
        "-cp",
        ":".join(map(str, jars)),
        "org.apache.pdfbox.preflight.Validator_A1b",
        "xml",
        str(paper),
    ]
    answer = subprocess.run(
        command, capture_output=True, text=True, timeout=120, check=False
    )
    return answer.stdout + answer.stderr
