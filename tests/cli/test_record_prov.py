"""flitchbook record prov writes a new file of PROV-JSON."""

import json

from tests.cli.bench import SERIAL, Bench


def test_an_instrument_s_provenance_is_written_to_a_new_file(bench: Bench) -> None:
    """Scanned or typed; a file that is there is kept, and a question must be asked."""
    told = bench.data(f"record prov S/{SERIAL} --out it.json")
    written = json.loads((bench.folder / "it.json").read_bytes())

    assert told["entities"] == len(written["entity"])
    assert told["activities"] == len(written["activity"])
    assert f"log:serial-{SERIAL}" in written["entity"]
    bench.refuses(f"record prov {SERIAL} --out it.json", "it.json")
    bench.refuses("record prov --out all.json", "by its code, or give --whole")
    bench.refuses("record prov L26-099 --out all.json", "there is no L26-099")
    bench.refuses(f"record prov {SERIAL} --whole --out a.json", "or give --whole")
    assert "PROV-JSON" in bench.does("record prov --whole --out all.json")
