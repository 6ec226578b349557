"""flitchbook person compromised, and what is done next with what is in dispute."""

from tests.cli.bench import Bench

ROOTS = "--root sticks/root-1.json --root sticks/root-2.json"
TWO = "--by 12 --approve 01"


def test_a_key_is_reported_replaced_and_its_entries_are_settled(bench: Bench) -> None:
    """Each answer says what to type next; at the end nothing is open."""
    steps = [
        each["entry"]
        for each in bench.data("person entries 03")["entries"]
        if each["kind"] == "build.step-signed"
    ]
    since = steps[0]
    bench.refuses(f"person compromised 03 --since {since} --by 12", "0 of 1 others")
    bench.refuses(f"person compromised 03 --since soon {TWO}", "'soon' is no number")
    said = bench.does(f"person compromised 03 --since {since} {TWO}")

    assert f"what it said since entry {since} is in dispute, 2 entries." in said
    assert f"  entry {since}  build.step-signed, 2026-01-05T" in said
    assert "flitchbook person replace-key 03 gives a new one" in said
    assert said.splitlines()[-1] == "Publish the keys file again: flitchbook shop keys."
    listed = bench.data("person entries 03 --disputed")
    assert [each["entry"] for each in listed["disputed"]] == steps
    assert "2 in dispute" in bench.does("person entries 03 --disputed")
    assert f", disputed since {since}" in bench.does("person show 03")
    assert f"; disputed since entry {since}" in bench.does("build hands 26-0001-8")
    bench.refuses("person entries 03 --disputed --since 2026-01-01", "leave --since")
    audited = bench.data("record audit")
    assert audited["whole"] is True and audited["disputed"] == 2
    assert bench.does("record audit").startswith("whole, 2 entries in dispute: ")
    assert [each["cause"] for each in audited["findings"]] == ["disputed"] * 2

    named = " ".join(map(str, steps))
    bench.refuses(f"record affirm {named} --by 12 --approve 01", "is for a lead")
    told = bench.data(f"record affirm {named} --by 01 --approve 12")

    assert told["affirmed"] == steps and len(told["entries"]) == 2
    assert bench.data("person entries 03 --disputed")["disputed"] == []
    assert bench.data("record audit")["findings"] == []


def test_a_lead_s_report_tells_of_the_card_key_and_the_certificate(
    bench: Bench,
) -> None:
    """The certificate is in dispute wherever it is shown."""
    issued = bench.data("certificate since C-2026-00001")["entry"]
    command = f"person compromised 01 --since {issued} --by 12"
    bench.refuses(command, "approved by 0 of 2 roots")
    told = bench.data(f"{command} {ROOTS}")

    assert told["opened_cards"] and told["ended"]
    assert [each["kind"] for each in told["disputed"]][:1] == ["certificate.issued"]
    assert f"disputed since entry {issued}" in bench.does("certificate show 26-0001-8")
    said = bench.does("certificate since C-2026-00001")
    assert f"its own entry is disputed since entry {issued}" in said
