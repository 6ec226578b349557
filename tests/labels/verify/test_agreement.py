"""Two readers that share no code judge ten thousand inputs, and say the same."""

from collections import Counter
from collections.abc import Iterator, Sequence

import pytest
from playwright.sync_api import Browser

from ledger.check import CANNOT_TELL, NO, YES
from tests.labels.verify import forgeries, readers
from tests.labels.verify.cases import Case
from tests.labels.verify.readers import Plain, Reader


@pytest.fixture(scope="module")
def page(
    browser: Browser, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Reader]:
    """Give the page that checks as a reader of many cases."""
    with readers.page(browser, tmp_path_factory.mktemp("page")) as reader:
        yield reader


@pytest.mark.parametrize("name", forgeries.CLASSES)
def test_both_readers_say_the_same(name: str, page: Reader) -> None:
    """The word and the facts of each input; and a forged one is a yes to neither."""
    cases = forgeries.made(name)
    said = readers.ledger(cases)
    seen = [answer for batch in readers.batches(cases) for answer in page(batch)]
    row = forgeries.row(name, [answer["word"] for answer in said])
    print(row)
    apart = readers.differences(cases, said, seen)
    first = "\n".join(map(str, apart[:20]))

    assert not apart, f"{row}\n{len(apart)} differ:\n{first}"
    assert not wrong(cases, said), f"the ledger, {row}:\n{wrong(cases, said)}"
    assert not wrong(cases, seen), f"the page, {row}:\n{wrong(cases, seen)}"


def wrong(cases: Sequence[Case], answers: Sequence[Plain]) -> str:
    """Return the first answers that the making of their cases does not allow."""
    found = [
        f"{case.what}: {answer['word']}, not {' or '.join(sorted(case.allowed))}"
        for case, answer in zip(cases, answers, strict=True)
        if answer["word"] not in case.allowed
    ]
    return "\n".join(found[:20])


def test_there_are_ten_thousand_inputs_of_every_kind() -> None:
    """Of each kind there are hundreds, and of each class more than a few."""
    counts = forgeries.counts()
    kinds: Counter[str] = Counter()
    for name, count in counts.items():
        kinds[name.partition(":")[0]] += count

    assert sum(counts.values()) >= 10_000, forgeries.table(counts)
    assert min(counts.values()) >= 4, forgeries.table(counts)
    assert min(kinds.values()) >= 500, forgeries.table(counts)


def test_the_making_of_the_inputs_decides_many_of_the_words() -> None:
    """A yes, a no and neither are each asked for by name, and often."""
    asked: Counter[str] = Counter()
    for name in ("true: many shops", "forged: signers", "forged: names and tokens"):
        for case in forgeries.CLASSES[name]():
            asked[" or ".join(sorted(case.allowed))] += 1

    assert min(asked[word] for word in (YES, NO, CANNOT_TELL)) > 100, asked


def test_the_inputs_are_the_same_every_time() -> None:
    """A difference that was found once is found again."""
    for name in ("damaged: certificates", "damaged: cards", "true: many words"):
        first, again = (list(forgeries.CLASSES[name]()) for _ in range(2))

        assert first == again


def test_a_reader_that_errs_is_noticed(page: Reader) -> None:
    """Another word, or other facts beside the same word, is a difference."""
    cases = list(forgeries.CLASSES["true: by the acts"]())[:2]
    said = readers.ledger(cases)
    (first, second) = page(cases)
    facts = first["facts"] | {"serial": "26-0002-6"}

    assert readers.differences(cases, said, [first, second]) == []
    for answer in ({"word": NO}, first | {"word": NO}, first | {"facts": facts}):
        (apart,) = readers.differences(cases, said, [answer, second])

        assert apart.page == answer
        assert apart.what in str(apart)
