"""What is said of learning a work: begun, ended, and looked at again."""

from typing import ClassVar

from ledger.events.form import Day, Subject, Words, said


@said
class TrainingBegun:
    """A person may do a kind of work under supervision, and learns it from another."""

    kind: ClassVar[str] = "training.begun/1"

    subject: Subject
    qualification: Words
    trainer: Subject


@said
class TrainingEnded:
    """A person does no more of a kind of work under supervision."""

    kind: ClassVar[str] = "training.ended/1"

    subject: Subject
    qualification: Words


@said
class SkillChecked:
    """A person's work was looked at: the qualification counts until that day.

    After it nothing is signed on it until it is looked at again; what was signed before
    stays good.
    """

    kind: ClassVar[str] = "training.skill-checked/1"

    subject: Subject
    qualification: Words
    until: Day
