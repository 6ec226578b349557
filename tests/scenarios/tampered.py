"""What somebody does to a shop, its papers or its copies, each by a name.

The names are the lines of the README's table; each is done to a folder in which a shop
lies that has sold one instrument, with what left it: papers, copies, a witness's
memory.
"""

import json
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from ledger.acts.layout import LEDGER
from ledger.acts.shop import open_shop
from ledger.check import MARKER
from ledger.log.entry import parse_record
from tests import skerrymoor
from tests.cli.bench import Bench
from tests.conftest import entropy_from
from tests.ledger.audit.tampering import (
    appended,
    behind_the_guards,
    changed_vault,
    rechained,
    records_of,
    refit,
)
from tests.skerrymoor import Clock, Loft

# A shop of the same name, said by a writer of its own under other roots.
VECTORS = Path(__file__).parents[1] / "vectors" / "log"
ROOTS = "--root sticks/root-1.json --root sticks/root-2.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """A folder in which something is done, by commands or past them."""

    bench: Bench
    loft: Loft

    def path(self, name: str) -> Path:
        """Return a file or folder of the scene."""
        return self.bench.folder / name


def byte_of_an_entry(scene: Scene) -> None:
    """Change one letter of a record in the file."""
    with behind_the_guards(scene.loft) as connection:
        connection.execute(
            "UPDATE entry SET record = CAST(replace(record, 'Picea', 'Pices') AS BLOB)"
        )


def hashes_made_to_fit(scene: Scene) -> None:
    """Change a record, and everything that rests on its hash."""
    records = records_of(scene.loft)
    at = next(n for n, data in enumerate(records) if b"lot.received" in data)
    changed = records[at].replace(b"Picea", b"Pices")
    refit(scene.loft, rechained(records, at, changed))


def an_entry_out(scene: Scene) -> None:
    """Leave one record out, and let the rest follow."""
    records = records_of(scene.loft)
    refit(scene.loft, [*records[:20], *records[21:]])


def newest_entries_away(scene: Scene) -> None:
    """Take the last entries, the checkpoints and their file away."""
    records = records_of(scene.loft)
    refit(scene.loft, records[:-5])
    with behind_the_guards(scene.loft) as connection:
        connection.execute("DELETE FROM checkpoint")
    (scene.loft.shop.folder / "checkpoints").unlink()


def older_copy(scene: Scene) -> None:
    """Put an older copy where the shop was, on a machine that is new."""
    scene.bench.patch.setenv("FLITCHBOOK_STATE", "new-account")
    _replaced(scene, "older")


def older_copy_where_it_is_known(scene: Scene) -> None:
    """Put an older copy where the shop was; the account has seen the newer one."""
    scene.bench.patch.setenv("FLITCHBOOK_STATE", "account")
    _replaced(scene, "older")


def written_anew(scene: Scene) -> None:
    """Write another history from the older copy on, with all the shop's own keys."""
    older_copy(scene)
    clock = Clock(moment=datetime(2026, 1, 6, 12, tzinfo=UTC))
    entropy = entropy_from("anew")
    shop = open_shop(scene.path("shop"), now=clock, entropy=entropy)
    loft = skerrymoor.manned(shop, clock, scene.bench.folder)
    loft.issue(loft.build())
    loft.another()
    shop.close()


def said_by_another(scene: Scene) -> None:
    """Sign, past every act, what the signer may not say."""
    event = {"kind": "certificate.withdrawn/1", "number": "C-2026-00001"}
    appended(scene.loft, event, by=scene.loft.keys["02"])


def what_is_shown(scene: Scene) -> None:
    """Change a row that was folded from an entry."""
    with behind_the_guards(scene.loft) as connection:
        connection.execute("UPDATE lot SET species = 'Picea glauca'")


def hash_of_the_tree(scene: Scene) -> None:
    """Change a byte of a tile."""
    with behind_the_guards(scene.loft) as connection:
        connection.execute("UPDATE tile SET hashes = zeroblob(length(hashes))")


def signed_head_away(scene: Scene) -> None:
    """Take the newest note out of the file of checkpoints."""
    path = scene.loft.shop.folder / "checkpoints"
    path.write_text("", encoding="utf-8")


def guards_away(scene: Scene) -> None:
    """Drop one trigger of the database."""
    with closing(sqlite3.connect(scene.loft.shop.folder / LEDGER)) as connection:
        find = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        connection.execute(f"DROP TRIGGER {connection.execute(find).fetchone()[0]}")
        connection.commit()


def paper_on_file(scene: Scene) -> None:
    """Append a byte to a paper."""
    paper = next(iter(sorted(scene.loft.shop.attachments.iterdir())))
    paper.chmod(0o600)
    paper.write_bytes(paper.read_bytes() + b"!")


def name_in_the_vault(scene: Scene) -> None:
    """Let somebody else have received the wood."""
    changed_vault(
        scene.loft,
        "UPDATE opening SET value = 'Mara Kiely' WHERE value = 'Maura Kiely'",
    )


def erased_name_back(scene: Scene) -> None:
    """Erase a person, and put the older vault in the place of the new one."""
    vault = scene.path("shop/vault.sqlite3")
    before = vault.read_bytes()
    scene.bench.does("person erase 02 --by 12 --approve 01")
    vault.write_bytes(before)


def letter_of_a_certificate(scene: Scene) -> None:
    """Let the certificate speak of another wood."""
    data = scene.path("certificate.json").read_bytes()
    scene.bench.file("altered.json", data.replace(b"Picea", b"Pices", 1))


def shop_of_the_same_name(scene: Scene) -> None:
    """Take a certificate of a shop with other roots."""
    shutil.copyfile(VECTORS / "certificate.json", scene.path("stranger.json"))


def page_retyped(scene: Scene) -> None:
    """Put the true certificate file into a page that speaks of another serial."""
    head, tail = b"%PDF-1.7\n(serial 26-0999-1)\n", b"\nendstream\n"
    file = scene.path("certificate.json").read_bytes()
    marked = b"<< " + MARKER + b" true >>\nstream\n"
    scene.bench.file("retyped.pdf", head + marked + file + tail)


def card_copied(scene: Scene) -> None:
    """Copy a card's square."""
    shutil.copyfile(scene.path("card.txt"), scene.path("copied-card.txt"))


def code_guessed(scene: Scene) -> None:
    """Have every paper of an instrument but the slip."""
    assert scene.path("certificate.json").is_file()


def keys_of_a_usurper(scene: Scene) -> None:
    """Let one root be enough."""
    data = json.loads(scene.path("keys.json").read_bytes())
    data["threshold"] = 1
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=False, sort_keys=True)
    scene.bench.file("usurped.json", text)


def stolen_and_reported(scene: Scene) -> None:
    """Report the lead's key as it was before the certificate; publish the keys."""
    issued = next(
        n
        for n, data in enumerate(records_of(scene.loft))
        if parse_record(data).entry.kind == "certificate.issued/1"
    )
    scene.bench.does(f"person compromised 01 --since {issued} --by 12 {ROOTS}")
    scene.bench.does(f"shop keys {ROOTS}")
    newest = max(scene.path("shop/published").glob("keys-*.json"))
    shutil.copyfile(newest, scene.path("newer-keys.json"))


def reported(scene: Scene) -> None:
    """Report the instrument, and sign the list of it."""
    scene.bench.does("owner theft 26-0001-8 --claimant 'Amélie Rousset' --by 01")
    scene.bench.does("certificate status --out status.json --by 01")


def list_altered(scene: Scene) -> None:
    """Say something else of the instrument in the list."""
    reported(scene)
    text = scene.path("status.json").read_text(encoding="utf-8")
    scene.bench.file("altered-status.json", text.replace("reported", "withdrawn"))


def exported_record(scene: Scene) -> None:
    """Change a letter of an exported record."""
    path = scene.path("export/records.txt")
    path.write_bytes(path.read_bytes().replace(b"Picea", b"Pices", 1))


def spoilt_copy(scene: Scene) -> None:
    """Let a disk turn a few bits in a copy's papers."""
    paper = next(iter(sorted(scene.path("copy/attachments").iterdir())))
    paper.chmod(0o600)
    paper.write_bytes(b"\0" + paper.read_bytes()[1:])


DONE: dict[str, Callable[[Scene], None]] = {
    "changes a byte of an entry in the database": byte_of_an_entry,
    "changes an entry and makes every hash behind it fit": hashes_made_to_fit,
    "takes an entry out of the middle and closes the gap": an_entry_out,
    "takes away the newest entries, and every head that spoke of them": (
        newest_entries_away
    ),
    "puts an older copy in the place of the shop's folder, on a machine that knew the "
    "newer one": older_copy_where_it_is_known,
    "records something on that older copy": older_copy_where_it_is_known,
    "puts an older copy in its place on a new machine": older_copy,
    "holds every key and writes the log anew from some point on": written_anew,
    "says in the name of somebody what that person may not say": said_by_another,
    "changes what is shown, and no entry": what_is_shown,
    "changes a hash of the tree": hash_of_the_tree,
    "takes a signed head out of the folder's file of them": signed_head_away,
    "takes the database's own guards away": guards_away,
    "changes a paper or a photograph on file": paper_on_file,
    "changes a name in the vault": name_in_the_vault,
    "puts an erased name back": erased_name_back,
    "changes one letter of a certificate": letter_of_a_certificate,
    "makes up a shop of the same name": shop_of_the_same_name,
    "retypes the page around a true certificate, with another serial": page_retyped,
    "puts the copy of a card into another guitar": card_copied,
    "makes a keys file that asks for fewer roots": keys_of_a_usurper,
    "signs a certificate with a key that was stolen and reported": stolen_and_reported,
    "sells an instrument that is reported": reported,
    "changes that list of reports": list_altered,
    "guesses a slip's code, with photographs of all the other papers": code_guessed,
    "changes an exported record": exported_record,
    "lets a disk spoil a copy": spoilt_copy,
}


def _replaced(scene: Scene, copy: str) -> None:
    shutil.rmtree(scene.path("shop"))
    shutil.copytree(scene.path(copy), scene.path("shop"))
