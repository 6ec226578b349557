"""What lies where in a shop's folder, and in an export of its record."""

LEDGER = "ledger.sqlite3"
VAULT = "vault.sqlite3"
KEYS = "keys"
ATTACHMENTS = "attachments"
PUBLISHED = "published"
CHECKPOINTS = "checkpoints"
EVIDENCE, WITNESSES = "evidence", "witnesses"
# Of an export alone: the records, and the shop's newest keys file under that name.
RECORDS = "records.txt"
KEYS_FILE = "keys"
