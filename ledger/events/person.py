"""What is said of the people in the shop, and of the keys they sign with.

Names never stand in the log: an enrolment holds a commitment to the name, which the
vault can open and, once the name is erased, nobody can.
"""

from typing import ClassVar

from ledger.events.form import Amount, Digest, Subject, Words, said


@said
class PersonEnrolled:
    """A person joined the shop, with a badge and a key."""

    kind: ClassVar[str] = "person.enrolled/1"

    subject: Subject
    badge: Words
    name_commitment: Digest
    public: str
    possession: str


@said
class PersonKeyReplaced:
    """A person signs with a new key from now on; the old one has ended."""

    kind: ClassVar[str] = "person.key-replaced/1"

    subject: Subject
    public: str
    possession: str


@said
class PersonErased:
    """A person's name and particulars were erased from the vault."""

    kind: ClassVar[str] = "person.erased/1"

    subject: Subject


@said
class RoleGranted:
    """A person was made lead builder or key administrator."""

    kind: ClassVar[str] = "role.granted/1"

    subject: Subject
    role: Words


@said
class RoleWithdrawn:
    """A person gave a role back."""

    kind: ClassVar[str] = "role.withdrawn/1"

    subject: Subject
    role: Words


@said
class QualificationGranted:
    """A person may sign a kind of work from now on."""

    kind: ClassVar[str] = "qualification.granted/1"

    subject: Subject
    qualification: Words


@said
class QualificationWithdrawn:
    """A person may no longer sign a kind of work; what was signed stays signed."""

    kind: ClassVar[str] = "qualification.withdrawn/1"

    subject: Subject
    qualification: Words


@said
class KeyEnrolled:
    """The shop has a key for its owner cards or its PDF files."""

    kind: ClassVar[str] = "key.enrolled/1"

    purpose: Words
    public: str
    possession: str


@said
class KeyRetired:
    """A key ended; all that it signed before still stands."""

    kind: ClassVar[str] = "key.retired/1"

    key: str


@said
class KeyCompromised:
    """A key may have been in other hands; what it said since an entry is in dispute.

    `since_index` is the first entry that its holder does not answer for. The key ends,
    as if it were retired, and what it said before still stands.
    """

    kind: ClassVar[str] = "key.compromised/1"

    key: str
    since_index: Amount
